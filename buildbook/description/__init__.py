"""Reads the vehicle folder: typed description, or located problems."""
