"""Preload, torque, passes, bolt order and wrench settings."""
