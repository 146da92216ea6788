"""A vehicle from above in outline, by what it is: body, wheels and bulkheads, nose to the left."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from buildbook.description import models as written
from buildbook.drawing.maps.bodies import BODIES, curve
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, INK, Canvas
from buildbook.drawing.shared.clear import Point

WHEEL_M = {"car": (0.6, 0.2), "motorcycle": (0.6, 0.13)}
"""Length and width of a wheel as drawn: of a car where nothing else is said."""

Segment = tuple[Point, Point]


@dataclass(frozen=True)
class Outline:
    """The vehicle as the author gives it, and how it lies on paper: nose to the left."""

    plan: written.Plan
    origin: Point
    """The middle of its nose on paper."""
    scale: float

    def mm(self, length_m: float) -> float:
        """A length on paper."""
        return length_m * 1000 / self.scale

    def place(self, name: str) -> Point:
        """Where a point of the rope lies on paper: the vehicle's right side is at the top."""
        back, right = self.plan.places[name][:2]
        return self.origin[0] + self.mm(back), self.origin[1] - self.mm(right)


def draw_vehicle(canvas: Canvas, outline: Outline, named: bool = True) -> None:
    """Its outline, wheels, and bulkheads, named or not."""
    if outline.plan.outline == "car":
        _draw_car(canvas, outline)
    for line in _body(outline):
        canvas.line(line.points, line.weight, line.colour, class_="outline")
    plan, (x, y) = outline.plan, outline.origin
    half = outline.mm(plan.width) / 2
    for wheel in wheels(outline):
        canvas.rect(wheel, 0.25, colour=GREY, radius=wheel.h / 4, class_="wheel")
    for name, wall in plan.walls.items():
        at = x + outline.mm(wall.at)
        canvas.line([(at, y - half), (at, y + half)], 0.35, GREY, dash="2 1", class_="wall")
        if named:
            canvas.place(name, [(at, y - half - 1.2), (at, y + half + 3.4)], anchor="middle")


def _draw_car(canvas: Canvas, outline: Outline) -> None:
    """A round nose and a squarer tail."""
    plan, (x, y) = outline.plan, outline.origin
    long, half = outline.mm(plan.length), outline.mm(plan.width) / 2
    nose, tail = min(0.9 * half, long / 3), min(0.35 * half, long / 6)
    canvas.path(
        f"M {x + nose:.2f} {y - half:.2f} H {x + long - tail:.2f} "
        f"Q {x + long:.2f} {y - half:.2f} {x + long:.2f} {y - half + tail:.2f} "
        f"V {y + half - tail:.2f} Q {x + long:.2f} {y + half:.2f} "
        f"{x + long - tail:.2f} {y + half:.2f} H {x + nose:.2f} "
        f"C {x + nose * 0.3:.2f} {y + half:.2f} {x:.2f} {y + half * 0.8:.2f} {x:.2f} {y:.2f} "
        f"C {x:.2f} {y - half * 0.8:.2f} {x + nose * 0.3:.2f} {y - half:.2f} "
        f"{x + nose:.2f} {y - half:.2f} Z",
        0.5,
        class_="outline",
    )


@dataclass(frozen=True)
class _Drawn:
    """A line of a body as it lies on paper."""

    points: tuple[Point, ...]
    weight: float
    colour: str


def _body(outline: Outline) -> list[_Drawn]:
    """The lines of a body that is no car; of what lies on both sides the left is the mirror."""
    plan, (x, y) = outline.plan, outline.origin
    long, half = outline.mm(plan.length), outline.mm(plan.width) / 2
    found = []
    for line in BODIES.get(plan.outline, ()):
        for side in (-1, 1):
            points = tuple((x + long * u, y + side * half * v) for u, v in line.points)
            weight, colour = (0.5, INK) if line.heavy else (0.25, GREY)
            found.append(_Drawn(points, weight, colour))
    return found


def wheels(outline: Outline) -> list[Box]:
    """Those of each axle: two a track apart, or one in the middle."""
    plan, (x, y) = outline.plan, outline.origin
    wide, high = (outline.mm(m) for m in WHEEL_M.get(plan.outline, WHEEL_M["car"]))
    return [
        Box(
            x + outline.mm(axle) - wide / 2,
            y + side * outline.mm(plan.track) / 2 - high / 2,
            wide,
            high,
        )
        for axle in plan.axles
        for side in ((-1, 1) if plan.track else (0,))
    ]


def edges(outline: Outline) -> list[Segment]:
    """Bulkheads, wheels and the outline, which numbers keep clear of."""
    plan, (x, y) = outline.plan, outline.origin
    half = outline.mm(plan.width) / 2
    walls = [x + outline.mm(wall.at) for wall in plan.walls.values()]
    lines = [((at, y - half), (at, y + half)) for at in walls]
    lines += [pair for drawn in _body(outline) for pair in pairwise(drawn.points)]
    for w in wheels(outline):
        corners = ((w.x, w.y), (w.right, w.y), (w.right, w.bottom), (w.x, w.bottom), (w.x, w.y))
        lines += pairwise(corners)
    return lines + (_car_edges(outline) if plan.outline == "car" else [])


def _car_edges(outline: Outline) -> list[Segment]:
    """Its sides, its tail and its round nose as chords."""
    x, y = outline.origin
    half, tail = outline.mm(outline.plan.width) / 2, x + outline.mm(outline.plan.length)
    sides: list[Segment] = [((x, y + side), (tail, y + side)) for side in (-half, half)]
    return [*sides, ((tail, y - half), (tail, y + half)), *pairwise(_nose(outline))]


def _nose(outline: Outline) -> list[Point]:
    """A car's round front as chords, from its right side to its left."""
    (x, y), half = outline.origin, outline.mm(outline.plan.width) / 2
    deep = min(0.9 * half, outline.mm(outline.plan.length) / 3)
    found = []
    for side in (-1, 1):
        corners = [
            (x, y),
            (x, y + side * 0.8 * half),
            (x + 0.3 * deep, y + side * half),
            (x + deep, y + side * half),
        ]
        found.append(curve(*corners))
    return [*reversed(found[0]), *found[1][1:]]
