"""Faces of connectors and of the panel."""
