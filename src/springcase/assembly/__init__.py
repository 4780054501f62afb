"""Families as assembly graphs: build, plan, rebuild, and an independent checker."""
