"""A finished drawing."""

from __future__ import annotations

import math
from dataclasses import dataclass

SHEET_MM = (267.0, 180.0)
"""Largest sheet that a turned A4 and a turned Letter page both take with their margins."""
FIGURE_MM = 178.0
"""Width of the text on an upright page: a wider drawing has a turned page to itself."""


@dataclass(frozen=True)
class Reference:
    """A place on a drawing that names another sheet: its box in mm from the upper left corner."""

    sheet: str
    """Name of the drawing that it leads to."""
    x: float
    y: float
    w: float
    h: float


@dataclass(frozen=True)
class Drawing:
    """An SVG whose user units are millimetres on paper."""

    name: str
    """File name without ending; also the anchor of the sheet in the book."""
    title: str
    svg: str
    width_mm: float
    height_mm: float
    references: tuple[Reference, ...] = ()
    """What it says of other sheets, and of its own page."""
    left_out: tuple[str, ...] = ()
    """Lettering that found no room on it: whoever asked for the drawing is told."""

    @property
    def is_sheet(self) -> bool:
        """Whether it is wider than the text of an upright page."""
        return self.width_mm > FIGURE_MM

    @property
    def size_step(self) -> int:
        """How many steps of the A series, each sqrt(2) wider, it is above the book's sheet."""
        return max(0, round(2 * math.log2(self.width_mm / SHEET_MM[0])))
