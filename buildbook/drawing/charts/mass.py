"""Mass chart: what each harness weighs, by wire, covers, connectors and other parts."""

from __future__ import annotations

from buildbook.drawing.charts.axis import WIDTH_MM, draw_axis, ticks_to
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.sheet import figure, part_title
from buildbook.parts.mass import HarnessMass, harness_masses
from buildbook.result import Priced
from buildbook.words.say import mark, say

ROW_MM, MOST_ROWS = 6.6, 30
PARTS = (
    (mark("wires"), "#444444"),
    (mark("covers"), "#aaaaaa"),
    (mark("connectors"), "#ffffff"),
    (mark("others"), "#dddddd"),
)
"""Parts of a bar in order; next to each other they differ in grey, and each has its outline."""


def mass_charts(result: Priced) -> tuple[Drawing, ...]:
    """The chart, in parts of thirty harnesses; none for a vehicle without wires."""
    masses = harness_masses(
        result.vehicle, result.harness, result.sizing, result.finished_runs, result.bill
    )
    rows = [(name, mass) for name, mass in masses.items() if mass.total_kg > 0]
    parts = [rows[n : n + MOST_ROWS] for n in range(0, len(rows), MOST_ROWS)]
    return tuple(_chart(result, part, n, len(parts)) for n, part in enumerate(parts, 1))


def _chart(result: Priced, rows: list[tuple[str, HarnessMass]], part: int, parts: int) -> Drawing:
    title = part_title(say("Mass by harness"), part, parts)
    name = "mass" if part == 1 else f"mass-{part}"
    canvas = figure(
        WIDTH_MM, 20 + ROW_MM * len(rows) + 8, result.vehicle.description.vehicle, name, title
    )
    canvas.text(2, 4.2, title, NORMAL_MM, bold=True)
    unweighed = max(mass.unweighed for _, mass in rows)
    note = say("wires as cut and covers from the catalogue; connectors and other parts as written")
    if unweighed:
        without = say("up to {n} kinds of part a harness have no mass written", n=unweighed)
        note = f"{note}; {without}"
    canvas.text(2, 8.4, fitted(note, SMALL_MM, WIDTH_MM - 4), colour=GREY)
    _key(canvas)
    area = Box(38, 17, 82, ROW_MM * len(rows))
    ticks = ticks_to(max(mass.total_kg for _, mass in rows) * 1000)
    draw_axis(canvas, area, ticks, "g")
    for n, (harness, mass) in enumerate(rows):
        _row(canvas, harness, mass, Box(area.x, area.y + n * ROW_MM, area.w, ROW_MM), ticks[-1])
    return canvas.drawing(name, title)


def _key(canvas: Canvas) -> None:
    x = 38.0
    for part, fill in PARTS:
        canvas.rect(Box(x, 10.9, 4, 2.4), 0.25, fill=fill)
        x = canvas.text(x + 5.2, 13.0, say(part)).right + 6


def _row(canvas: Canvas, harness: str, mass: HarnessMass, room: Box, most_g: float) -> None:
    """The bar by its parts, and its figures in grams."""
    base = room.y + room.h / 2 + 0.93
    canvas.text(room.x - 2, base, fitted(harness, SMALL_MM, room.x - 4), anchor="end")
    grams = [
        1000 * kg for kg in (mass.wires_kg, mass.covers_kg, mass.connectors_kg, mass.others_kg)
    ]
    x = room.x
    for (part, fill), value in zip(PARTS, grams, strict=True):
        wide = value / most_g * room.w
        if wide > 0:
            canvas.rect(Box(x, room.y + 1.4, wide, room.h - 2.8), 0.25, fill=fill, class_=part)
        x += wide
    figures = " + ".join(f"{value:.0f}" for value in grams if value >= 0.5) or "0"
    total = canvas.text(
        WIDTH_MM - 2, base, f"{1000 * mass.total_kg:.0f} g", anchor="end", bold=True
    )
    left = room.right + 3
    canvas.text(left, base, fitted(f"{figures} =", SMALL_MM, total.x - 2 - left), class_="sum")
