"""A bulkhead seen looking forward: its holes to scale, each led to figures from the datum."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from buildbook.bench.drilling import DrilledWall, DrillHole, Spot
from buildbook.drawing.maps.drill_hole import draw_face, draw_hole
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import SMALL_MM, label_box, text_width_mm
from buildbook.drawing.shared.scales import scales_from
from buildbook.figures import Units
from buildbook.words.say import say

SCALES = (1, 2, 5, 8, 10, 15, 20, 25, 30, 40, 50)
SKETCH_MM, CROWDED_MM, FEW = (84.0, 46.0), (140.0, 110.0), 8
"""Room for holes and datum where they do not go on the paper at full size: of so few, of more."""
FULL_MM = (150.0, 150.0)
"""Room for holes at full size, at their true distances from each other."""
LEFT_MM, BELOW_MM, EDGE_MM = 14.0, 7.0, 6.0
"""Room for the figures up the left side and along the foot; kept round the outermost hole."""
LEAST_MM = 0.8
"""Radius of the smallest hole as it is drawn in a sketch."""
APART_MM = 3.6
"""From a figure up the side to the next."""
GAP_MM = 1.2
"""Between two figures along the foot."""


@dataclass(frozen=True)
class Elevation:
    """The part of a wall that is drawn, and its scale."""

    wall: DrilledWall
    scale: float
    left: float
    right: float
    low: float
    high: float
    """In mm from the datum."""

    @property
    def placed(self) -> list[DrillHole]:
        return [hole for hole in self.wall.holes if hole.centre_mm is not None]

    @property
    def shows_datum(self) -> bool:
        return self.left <= 0 <= self.right and self.low <= 0 <= self.high

    @property
    def wide(self) -> float:
        return LEFT_MM + (self.right - self.left) / self.scale + 2 * EDGE_MM

    @property
    def deep(self) -> float:
        return BELOW_MM + (self.high - self.low) / self.scale + 2 * EDGE_MM

    def on_paper(self, corner: Spot, spot: Spot) -> Spot:
        """Where a place of the wall lies, the upper left corner of the drawing being given."""
        return (
            corner[0] + LEFT_MM + EDGE_MM + (spot[0] - self.left) / self.scale,
            corner[1] + EDGE_MM + (self.high - spot[1]) / self.scale,
        )

    def radius(self, hole: DrillHole) -> float:
        return max((hole.across_mm or 0.0) / 2 / self.scale, LEAST_MM)


def elevation_of(wall: DrilledWall) -> Elevation | None:
    """At full size where the holes go on the paper, else with the datum; None without places."""
    spots = [(hole.centre_mm, (hole.across_mm or 0.0) / 2) for hole in wall.holes]
    reach = [
        (spot[0] - r, spot[0] + r, spot[1] - r, spot[1] + r)
        for spot, r in spots
        if spot is not None
    ]
    if not reach:
        return None
    whole = _bounds([*reach, (0.0, 0.0, 0.0, 0.0)])
    for box in (whole, _bounds(reach)):
        if box[1] - box[0] <= FULL_MM[0] and box[3] - box[2] <= FULL_MM[1]:
            return Elevation(wall, 1, *box)
    wide, deep = SKETCH_MM if len(reach) <= FEW else CROWDED_MM
    scale = next(
        s
        for s in scales_from(SCALES)
        if (whole[1] - whole[0]) / s <= wide and (whole[3] - whole[2]) / s <= deep
    )
    return Elevation(wall, scale, *whole)


def _bounds(reach: Sequence[tuple[float, float, float, float]]) -> tuple[float, ...]:
    lefts, rights, lows, highs = zip(*reach, strict=True)
    return min(lefts), max(rights), min(lows), max(highs)


def draw_elevation(canvas: Canvas, view: Elevation, corner: Spot, units: Units) -> None:
    """Frame, datum, figures and holes; the figures count from the datum."""
    frame = Box(corner[0] + LEFT_MM, corner[1], view.wide - LEFT_MM, view.deep - BELOW_MM)
    canvas.rect(frame, 0.25, colour=GREY, class_="wall")
    spots = {hole.number: hole.centre_mm for hole in view.placed if hole.centre_mm}
    zero = [0.0] if view.shows_datum else []
    _figures_up(canvas, view, frame, sorted({*(s[1] for s in spots.values()), *zero}), units)
    _figures_along(canvas, view, frame, sorted({*(s[0] for s in spots.values()), *zero}), units)
    leads: list[Box] = []
    for hole in view.placed:
        x, y = view.on_paper(corner, spots[hole.number])
        leads.append(_lead(canvas, (x, y), (x, frame.bottom)))
        leads.append(_lead(canvas, (frame.x, y), (x, y)))
    if view.shows_datum:
        _datum(canvas, *view.on_paper(corner, (0.0, 0.0)), frame)
    for hole in view.placed:
        spot, radius = view.on_paper(corner, spots[hole.number]), view.radius(hole)
        if view.scale == 1:
            draw_face(canvas, *spot, radius, hole)
        draw_hole(canvas, *spot, radius, hole)
    for hole in view.placed:
        spot = view.on_paper(corner, spots[hole.number])
        _number(canvas, spot, view.radius(hole), hole.number, leads)


def _lead(canvas: Canvas, a: Spot, b: Spot) -> Box:
    """A thin line from a hole to its figure; returns its box."""
    canvas.line([a, b], 0.13, GREY, class_="lead")
    return Box(min(a[0], b[0]), min(a[1], b[1]), abs(b[0] - a[0]), abs(b[1] - a[1]))


def _datum(canvas: Canvas, x: float, y: float, frame: Box) -> None:
    """The two lines through the datum, and a ring where it is."""
    canvas.line([(frame.x, y), (frame.right, y)], 0.25, dash="4 1 0.6 1", class_="datum")
    canvas.line([(x, frame.y), (x, frame.bottom)], 0.25, dash="4 1 0.6 1", class_="datum")
    canvas.circle(x, y, 1.4, 0.35, class_="datum")
    canvas.block(Box(x - 1.8, y - 1.8, 3.6, 3.6))
    canvas.block(Box(frame.x, y - 0.3, frame.w, 0.6))
    canvas.block(Box(x - 0.3, frame.y, 0.6, frame.h))
    spots = [(x + dx, y + dy) for dx in (2.4, -12.0) for dy in (-2.2, 4.2)]
    canvas.place(say("datum", context="drilling"), spots, halo=False)


def _number(canvas: Canvas, at: Spot, radius: float, number: int, leads: list[Box]) -> None:
    """The number in the hole beside its cross, or outside it: off the leads where there is room."""
    out, (x, y), words = radius + 2.2, at, str(number)
    spots = [
        (x + sx * off, y + sy * off + 0.93)
        for off in (*((radius / 2,) if radius > 4 else ()), 0.8 * out, out, out + 2, out + 4)
        for sx, sy in ((1, -1), (-1, -1), (1, 1), (-1, 1), (1, 0), (-1, 0), (0, 1), (0, -1))
    ]

    def crossed(spot: Spot) -> bool:
        box = label_box(*spot, words, anchor="middle", bold=True)
        return any(box.overlaps(lead, 0.3) for lead in leads)

    spots.sort(key=crossed)
    canvas.place(words, spots, anchor="middle", bold=True, class_="number")


def _figures_up(
    canvas: Canvas, view: Elevation, frame: Box, values: list[float], units: Units
) -> None:
    """Heights up the left side, those too near each other moved apart."""
    at = [frame.y + EDGE_MM + (view.high - value) / view.scale for value in reversed(values)]
    for value, y, free in zip(reversed(values), at, apart(at, [APART_MM] * len(at)), strict=True):
        canvas.line([(frame.x, y), (frame.x - 2.5, free)], 0.13, GREY, class_="lead")
        canvas.text(frame.x - 3.0, free + 0.93, units.bare(value), anchor="end", class_="up")


def _figures_along(
    canvas: Canvas, view: Elevation, frame: Box, values: list[float], units: Units
) -> None:
    """Distances along the foot, right of the datum; left of it: minus."""
    words = [units.bare(value) for value in values]
    wide = [text_width_mm(word, SMALL_MM) + GAP_MM for word in words]
    at = [frame.x + EDGE_MM + (value - view.left) / view.scale for value in values]
    for word, x, free in zip(words, at, apart(at, wide), strict=True):
        canvas.line([(x, frame.bottom), (free, frame.bottom + 2.5)], 0.13, GREY, class_="lead")
        canvas.text(free, frame.bottom + 5.4, word, anchor="middle", class_="along")


def apart(at: Sequence[float], sizes: Sequence[float]) -> list[float]:
    """Places in rising order, moved as little as may be until things of these sizes are clear.

    Those that touch stand as one group about the middle of where they would be.
    """
    groups: list[tuple[list[float], list[float]]] = []
    for place, size in zip(at, sizes, strict=True):
        groups.append(([place], [size]))
        while len(groups) > 1 and _last(groups[-2]) > _first(groups[-1]):
            (places, held), (more, others) = groups[-2:]
            groups[-2:] = [(places + more, held + others)]
    found = []
    for places, held in groups:
        edge = _first((places, held))
        for size in held:
            found.append(edge + size / 2)
            edge += size
    return found


def _first(group: tuple[list[float], list[float]]) -> float:
    """Where a group begins: about the middle of its places."""
    return (group[0][0] + group[0][-1]) / 2 - fsum(group[1]) / 2


def _last(group: tuple[list[float], list[float]]) -> float:
    return _first(group) + fsum(group[1])
