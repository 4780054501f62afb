"""Gas: composition, properties, flow through restrictions and pipes, relief."""
