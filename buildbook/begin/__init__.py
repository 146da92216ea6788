"""Writes the first description of a vehicle: from a few answers, or from a table of wires."""
