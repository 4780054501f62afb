"""What makes generated pages and pictures."""
