"""What agreements cost, when it is due, what of it is earned, and what goes back. Pure."""
