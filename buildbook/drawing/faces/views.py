"""A connector's two views on a page: how cavities are lettered, its shell, where each stands."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from buildbook.description.models import Plug
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, text_width_mm
from buildbook.harness.model import Wire
from buildbook.vehicle.faces import cavity_places
from buildbook.vehicle.model import Connector
from buildbook.words.say import say

LINE_MM = 2.9
RING_MM = 2.2
"""Radius of a drawn cavity."""
WIDTH_MM = 170.0
ROOM_MM = WIDTH_MM - 12.0
"""Widest shell: its keyway may stand on either side."""
GAP_MM = 4.0
"""Between the two views."""
ABOVE_MM = 8.9
"""Side, in two lines, and keyway over a shell."""
LINED_MM = 5.5
"""The same, the side in one line."""
LINED_FROM_MM = 60.0
"""Shells at least so wide have it in one line: narrower ones would have less table beside them."""
TAB_MM = 1.6
"""How far a keyway or a latch stands out of the shell."""
BELOW_MM = 0.6
"""Under a shell, and under what stands out of it."""
TALLEST_MM = 120.0
"""Two views are no higher where any lettering allows it: the page has words too."""
PAGE_MM = 240.0
"""What no lettering brings under that has a page to itself."""
RINGS_EDGE_MM = 0.8
"""Between the lettering and the shell of a round connector."""
Places = dict[str, tuple[float, float]]
"""Cavity -> column and row of its middle."""


@dataclass(frozen=True)
class Lettering:
    """How a cavity is lettered: box around its centre, lines below it, and which lines."""

    width: float
    above: float
    below: float
    style: str
    """level (id and letters below), upright (the same read upwards), bare (cavity only), narrow
    (cavity read upwards), within (cavity in its ring)."""
    ring: float = RING_MM

    def box(self, x: float, y: float) -> Box:
        return Box(x - self.width / 2, y - self.above, self.width, self.above + self.below)


def _letterings(places: Places, wires: dict[str, Wire]) -> list[Lettering]:
    """Letterings to try from the wire side, fullest first."""
    cavity = _widest(places)
    texts = [t for wire in wires.values() for t in (wire.id, wire.colour)]
    wide = max((text_width_mm(t, SMALL_MM) for t in texts), default=2.0)
    above, ring = RING_MM + 3.4, 2 * RING_MM
    return [
        Lettering(max(cavity, wide, ring) + 1.4, above, RING_MM + 2 * LINE_MM + 1.0, "level"),
        Lettering(max(cavity, 2 * LINE_MM, ring) + 0.8, above, RING_MM + wide + 1.6, "upright"),
        Lettering(max(cavity, ring) + 0.6, above, RING_MM + 0.6, "bare"),
        _narrow(places),
        _within(places),
    ]


def _mating_letterings(places: Places) -> list[Lettering]:
    """Letterings to try from the mating side, the smallest first: it names cavities alone."""
    return [_within(places), _narrow(places)]


def _within(places: Places) -> Lettering:
    ring = max(1.9, math.hypot(_widest(places) / 2, 0.36 * SMALL_MM) + 0.5)
    return Lettering(2 * ring + 0.4, ring + 0.2, ring + 0.2, "within", ring)


def _narrow(places: Places) -> Lettering:
    return Lettering(3.5, 1.5 + _widest(places) + 1.8, 2.1, "narrow", 1.5)


def _widest(places: Places) -> float:
    return max((text_width_mm(c, SMALL_MM, True) for c in places), default=2.0)


def _pitch(places: Places, lettering: Lettering) -> tuple[float, float]:
    """Smallest pitch across and down at which no two letterings overlap."""
    points = list(places.values())
    if all(abs(y - round(y)) < 1e-9 and abs(2 * x - round(2 * x)) < 1e-9 for x, y in points):
        return lettering.width, lettering.above + lettering.below
    if lettering.style == "within":
        nearest = min(math.dist(a, b) for i, a in enumerate(points) for b in points[:i])
        return lettering.width / nearest, lettering.width / nearest
    need = 0.0
    for i, (ax, ay) in enumerate(points):
        for bx, by in points[:i]:
            dx, dy = abs(ax - bx), abs(ay - by)
            across = lettering.width / dx if dx > 1e-9 else math.inf
            down = (lettering.above + lettering.below) / dy if dy > 1e-9 else math.inf
            need = max(need, min(across, down))
    return need + 0.01, need + 0.01


@dataclass(frozen=True)
class Shell:
    """Outline of a connector around its lettered cavities, in mm about the cavities' origin."""

    box: Box
    radius: float
    """Of the corners; half the width for a round shell."""
    aside: float
    """Kept free left and right of it for a keyway."""
    below: float
    """Kept free under it, for a keyway where one stands there."""


def _shell(plug: Plug, boxes: list[Box]) -> Shell:
    """A rounded rectangle for rows; for rings a circle about the middle that holds every label."""
    aside = 2.0 if {plug.keyway, plug.latch} & {"left", "right"} else 0.3
    below = BELOW_MM + (TAB_MM if "bottom" in (plug.keyway, plug.latch) else 0.0)
    if plug.rings:
        corners = [(x, y) for b in boxes for x in (b.x, b.right) for y in (b.y, b.bottom)]
        middle = (min(b.y for b in boxes) + max(b.bottom for b in boxes)) / 2
        r = max(math.hypot(x, y - middle) for x, y in corners) + RINGS_EDGE_MM
        return Shell(Box(-r, middle - r, 2 * r, 2 * r), r, aside, below)
    left, top = min(b.x for b in boxes), min(b.y for b in boxes)
    wide, high = max(b.right for b in boxes) - left, max(b.bottom for b in boxes) - top
    return Shell(Box(left - 1.0, top - 1, wide + 2, high + 2), 1.5, aside, below)


@dataclass(frozen=True)
class View:
    """One side of a connector, laid out."""

    mating: bool
    mirrored: bool
    """Whether left and right stand the other way round than the plug's type is written."""
    lettering: Lettering
    centres: dict[str, tuple[float, float]]
    """Cavity -> its centre, mm about the cavities' origin."""
    shell: Shell
    lined: bool = False
    """Whether the words over it stand in one line."""

    @property
    def width(self) -> float:
        """Of the shell with its keyway, or of the words over it."""
        side, which = self.words
        words = (f"{side} {which}",) if self.lined else (side, which)
        letters = max(text_width_mm(line, NORMAL_MM, True) for line in words)
        return max(self.shell.box.w + 2 * self.shell.aside, letters)

    @property
    def above(self) -> float:
        """Of the words over the shell, and of a keyway."""
        return LINED_MM if self.lined else ABOVE_MM

    @property
    def height(self) -> float:
        """Of the shell with its keyway and the words over it."""
        return self.above + self.shell.box.h + self.shell.below

    @property
    def words(self) -> tuple[str, str]:
        side = say("MATING SIDE") if self.mating else say("WIRE SIDE")
        return say("Seen from the", context="side"), side


def _views(
    connector: Connector, mating: bool, letterings: list[Lettering], room_mm: float
) -> list[View]:
    """The view in every lettering whose shell goes into the room; squeezed where none does."""
    plug = connector.plug
    places = cavity_places(plug, mating != connector.turned)
    fitting = [
        view
        for lettering in letterings
        if (view := _view(connector, mating, lettering, *_pitch(places, lettering))).shell.box.w
        <= room_mm
    ]
    if fitting:
        return fitting
    lettering = letterings[-1]
    if plug.rings:
        reach = (
            math.hypot(lettering.width / 2, max(lettering.above, lettering.below)) + RINGS_EDGE_MM
        )
        pitch = (room_mm / 2 - reach) / max(math.hypot(*p) for p in places.values())
        return [_view(connector, mating, lettering, pitch, pitch)]
    xs = [x for x, _ in places.values()]
    across = (room_mm - lettering.width) / max(max(xs) - min(xs), 1.0)
    return [_view(connector, mating, lettering, across, lettering.above + lettering.below)]


def _view(
    connector: Connector, mating: bool, lettering: Lettering, across: float, down: float
) -> View:
    """One side with its cavities so far apart."""
    mirrored = mating != connector.turned
    places = cavity_places(connector.plug, mirrored)
    centres = {c: (x * across, y * down) for c, (x, y) in places.items()}
    boxes = [lettering.box(x, y) for x, y in centres.values()] or [lettering.box(0, 0)]
    return View(mating, mirrored, lettering, centres, _shell(connector.plug, boxes))


@dataclass(frozen=True)
class Sides:
    """Both views of a connector on one drawing, and where the second begins."""

    wire: View
    mating: View
    left: float
    top: float

    @property
    def width(self) -> float:
        right = max(self.wire.width, self.left + self.mating.width)
        return right - min(0.0, self.left)

    @property
    def height(self) -> float:
        return max(self.wire.height, self.top + self.mating.height)

    def fits(self, high_mm: float) -> bool:
        """Whether they go on the page's width and such a height."""
        return self.width <= WIDTH_MM - 4 + 1e-6 and self.height <= high_mm


def sides_of(connector: Connector, wires: dict[str, Wire]) -> Sides:
    """The views beside each other, tucked in or one above the other: fullest lettering first."""
    plug = connector.plug
    places = cavity_places(plug)
    mating = _views(connector, True, _mating_letterings(places), ROOM_MM)[0]
    letterings = _letterings(places, wires)
    for high_mm in (TALLEST_MM, PAGE_MM):
        for wire in _views(connector, False, letterings, ROOM_MM):
            for sides in _ways(wire, mating, bool(plug.rings)):
                if sides.fits(high_mm):
                    return sides
    room = PAGE_MM - mating.height - ABOVE_MM - BELOW_MM - TAB_MM
    return _stacked(_views(connector, False, letterings[-1:], min(room, ROOM_MM))[0], mating)


def _ways(wire: View, mating: View, rings: bool) -> Iterator[Sides]:
    """How the views may stand, the best first; each way with the words in one line first."""
    lined = (True, False) if wire.shell.box.w >= LINED_FROM_MM else (False,)
    pairs = [(replace(wire, lined=one), replace(mating, lined=one)) for one in lined]
    yield from (Sides(a, b, a.width + GAP_MM, 0.0) for a, b in pairs)
    if rings:
        yield from (_tucked(a, b) for a, b in pairs)
    yield from (_stacked(a, b) for a, b in pairs)


def _stacked(wire: View, mating: View) -> Sides:
    return Sides(wire, mating, (wire.width - mating.width) / 2, wire.height)


def _tucked(wire: View, mating: View) -> Sides:
    """The mating side of a round connector in the corner that the wire side leaves."""
    left, top = WIDTH_MM - 4 - mating.width, 0.0
    centre, radius = (wire.width / 2, wire.above + wire.shell.radius), wire.shell.radius + GAP_MM
    while top < wire.height:
        words = Box(left, top, mating.width, mating.above)
        reach = mating.shell.radius
        middle = (left + mating.width / 2, top + mating.above + reach)
        near = (
            min(max(centre[0], words.x), words.right),
            min(max(centre[1], words.y), words.bottom),
        )
        if math.dist(centre, near) > radius and math.dist(centre, middle) > radius + reach:
            break
        top += 1.0
    return Sides(wire, mating, left, top)
