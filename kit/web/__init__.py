"""What of the ground floor touches Django: filters for templates, and the page of parts."""
