"""When a homeowner hears from us about what only a homeowner can do."""
