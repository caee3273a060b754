"""What work earns and costs, in exact money. Pure."""
