"""The bar by which a print is checked before anything is measured on it."""

from __future__ import annotations

from buildbook.drawing.shared.canvas import Canvas
from buildbook.figures import Units
from buildbook.words.say import say


def draw_bar(canvas: Canvas, x: float, y: float, units: Units) -> None:
    """A bar of 100 mm with a mark every 10, or of 4 in with one every half, to lay a rule on."""
    bar, parts = units.rule_mm, units.rule_parts
    canvas.line([(x, y), (x + bar, y)], 0.3, class_="bar")
    for n in range(parts + 1):
        long = 2.0 if 2 * n % parts == 0 else 1.2
        at = x + bar * n / parts
        canvas.line([(at, y - long), (at, y + long)], 0.25, class_="bar-mark")
    canvas.text(x + bar + 3, y - 0.3, say("must measure {length}:", length=units.along(bar)), 2.6)
    canvas.text(x + bar + 3, y + 2.9, say("print at 100 %, never fitted"), 2.6)
