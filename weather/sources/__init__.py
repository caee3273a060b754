"""One file for each outside source of weather. Each turns text into plain records."""
