"""The invented families and places of the demo."""
