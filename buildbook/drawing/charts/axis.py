"""What charts share: their width, the values along an axis, a bar of load against rating."""

from __future__ import annotations

import math

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.words.say import in_figures

WIDTH_MM = 170.0
DARK = "#555555"


def ticks_to(largest: float) -> list[float]:
    """Round values from zero to at least `largest`, about five of them."""
    if largest <= 0:
        return [0.0, 1.0]
    rough = largest / 5
    ten = 10 ** math.floor(math.log10(rough))
    step = next(ten * f for f in (1, 2, 2.5, 5, 10) if ten * f >= rough)
    return [step * n for n in range(math.ceil(largest / step - 1e-9) + 1)]


def draw_axis(canvas: Canvas, area: Box, ticks: list[float], unit: str) -> None:
    """Upright lines with their value under the area."""
    for tick in ticks:
        x = area.x + tick / ticks[-1] * area.w
        canvas.line([(x, area.y), (x, area.bottom)], 0.18, GREY)
        canvas.text(x, area.bottom + 3.4, in_figures(f"{tick:g}"), anchor="middle")
    canvas.text(area.right, area.bottom + 7.0, unit, anchor="end", colour=GREY)


def load_bar(canvas: Canvas, bar: Box, load: float, rating: float) -> None:
    """A frame as long as the rating, filled as far as the load, marked at three quarters."""
    share = min(1.0, load / rating) if rating else 0.0
    canvas.rect(Box(bar.x, bar.y, bar.w * share, bar.h), 0.0, fill="#555555", class_="load")
    canvas.rect(bar, 0.25, class_="rating")
    mark = bar.x + 0.75 * bar.w
    canvas.line([(mark, bar.y), (mark, bar.bottom + 0.7)], 0.35)
