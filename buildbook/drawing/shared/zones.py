"""The border of a framed sheet: its zones, their references and the centring marks (ISO 5457)."""

from __future__ import annotations

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas

BAND_MM = 5.0
"""Width of the border band that carries the zone references (ISO 5457)."""
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Zone letters: I and O are left out (ISO 5457)."""


def row_letters(row: int) -> str:
    """Letters of a row, from 0: 'A' to 'Z' without I and O, then 'AA', 'AB'.

    ISO 5457 gives sheets up to A0, 16 zones high; how it goes on beyond Z is our choice.
    """
    count = len(LETTERS)
    return (row_letters(row // count - 1) if row >= count else "") + LETTERS[row % count]


def zone_count(length_mm: float) -> int:
    """Zones along a side: an even number of about 50 mm each (ISO 5457)."""
    return max(2, 2 * round(length_mm / 100))


def zone_of(x: float, y: float, width_mm: float, height_mm: float) -> str:
    """Border reference of a place on a framed sheet: 'B4'."""
    inside_w, inside_h = width_mm - 2 * BAND_MM, height_mm - 2 * BAND_MM
    across, down = zone_count(inside_w), zone_count(inside_h)
    column = min(across - 1, max(0, int((x - BAND_MM) / inside_w * across)))
    row = min(down - 1, max(0, int((y - BAND_MM) / inside_h * down)))
    return f"{row_letters(row)}{column + 1}"


def draw_zones(canvas: Canvas, inner: Box) -> None:
    """Numbers along the top and bottom, letters down both sides, with strokes between."""
    across, down = zone_count(inner.w), zone_count(inner.h)
    for n in range(across):
        x0, step = inner.x + n * inner.w / across, inner.w / across
        for y, base in ((0.25, 3.6), (inner.bottom, inner.bottom + 3.6)):
            if n:
                canvas.line([(x0, y), (x0, y + BAND_MM - 0.25)], 0.25)
            canvas.text(x0 + step / 2, base, str(n + 1), anchor="middle", class_="zone")
    for n in range(down):
        y0, step = inner.y + n * inner.h / down, inner.h / down
        for x, middle in ((0.25, BAND_MM / 2), (inner.right, inner.right + BAND_MM / 2)):
            if n:
                canvas.line([(x, y0), (x + BAND_MM - 0.25, y0)], 0.25)
            canvas.text(middle, y0 + step / 2 + 0.9, row_letters(n), anchor="middle", class_="zone")


def draw_centring_marks(canvas: Canvas) -> None:
    """The middle of every side, for whoever copies or films the sheet (ISO 5457)."""
    x, y = canvas.width / 2, canvas.height / 2
    long = BAND_MM - 0.4
    for at in (0.4, canvas.height - BAND_MM):
        canvas.line([(x, at), (x, at + long)], 0.7, class_="centring")
    for at in (0.4, canvas.width - BAND_MM):
        canvas.line([(at, y), (at + long, y)], 0.7, class_="centring")
