"""Pictures of the books: what the templates write down as SVG. Pure."""
