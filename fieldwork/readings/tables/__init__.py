"""Published tables and fitted constants; where they are from is in ../SOURCES.md."""
