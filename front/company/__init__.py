"""The whole company in one file, and back: JSON lines for each table, media, and a manifest.

What belongs to the machine or is a secret stays out: passwords, second steps, sessions, keys of
the interface, the list of backups. Staff come over by name and choose a new password.
"""
