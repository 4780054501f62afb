"""Edition-keyed tables of published standards, each row with its clause."""
