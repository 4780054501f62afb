"""Uncertainty of a reading, what a gauge can tell, and the verdict against a limit."""
