"""Symbols after IEC 60617, drawn downwards from a point: current enters at the top."""
