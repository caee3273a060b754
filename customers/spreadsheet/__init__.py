"""A messy spreadsheet, read, matched, cleaned and compared. Plain Python, no database.

The way through: `reading` (bytes to rows) -> `columns` (which column is which) -> `cleaning`
(a row to facts, or refusals in words) -> `likeness` (what is there twice).
"""
