"""Versioned file formats: reading tables with every problem named."""
