"""What a technician's readings mean. Pure; the public names are listed by the modules."""
