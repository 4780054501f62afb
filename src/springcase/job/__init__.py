"""The walk: one noun a file, imports leftwards only."""
