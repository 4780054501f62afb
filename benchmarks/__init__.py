"""What Springcase promises in seconds and megabytes, measured beside a reference."""
