"""A matched spreadsheet, held against what is on file, then brought in.

The way through: `reading_rows` (cleaned rows) -> `planning` (each row's outcome, and unsaved
rows) -> `writing` (one transaction). The dry run and the bringing in share all but the last.
"""
