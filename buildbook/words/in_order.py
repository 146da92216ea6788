"""Names in the order in which a reader looks for them."""

from __future__ import annotations

import re


def natural(name: str) -> list[tuple[int, str]]:
    """Sort key in which runs of digits count as numbers: F2 before F10."""
    pieces = re.findall(r"[0-9]+|[^0-9]+", name.lower())
    return [(int(piece), "") if piece.isdigit() else (-1, piece) for piece in pieces]
