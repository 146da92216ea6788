"""Reads a printed book back and compares what its tables say with the model."""
