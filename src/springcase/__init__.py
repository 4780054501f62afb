"""Springcase: the service bench for spring-loaded gas pressure regulators."""

__version__ = "2026.11.0"
