"""Sizes of paper for sheets that are joined."""

from __future__ import annotations

PAPERS = {"A4": (210.0, 297.0), "A3": (297.0, 420.0), "Letter": (215.9, 279.4)}
"""Width and height in mm, upright (ISO 216; ANSI/ASME Y14.1)."""
HALVES = {"A4": "A5", "Letter": "half Letter"}
"""What is left of a paper that is folded once."""
PAGES = PAPERS | {"A5": (148.0, 210.0), "half Letter": (139.7, 215.9)}
"""Width and height in mm of what books are printed on, upright (likewise)."""
