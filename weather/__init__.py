"""The climate of a place and what follows from it: how likely an hour is warm enough to test."""
