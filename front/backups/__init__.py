"""Backups: one encrypted file with the database and the media, proven by restoring it."""
