"""Rows of the technician's day."""
