"""The owner's figures: every number an owner may choose, passed as a value."""
