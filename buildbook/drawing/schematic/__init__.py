"""Schematics."""
