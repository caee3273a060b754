"""What is on file about one customer: named, copied out, and taken out."""
