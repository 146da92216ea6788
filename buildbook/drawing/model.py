"""A finished drawing."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Drawing:
    """An SVG whose user units are millimetres on paper."""

    name: str
    """File name without ending; also the anchor of the sheet in the book."""
    title: str
    svg: str
    width_mm: float
    height_mm: float
