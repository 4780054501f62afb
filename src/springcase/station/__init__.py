"""Around the regulator: tank demand and the ladder of set points."""
