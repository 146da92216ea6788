"""Cross-sections and faces of a harness, read back from their SVG as a helper sees them."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from tests.book.printed import WIRE
from tests.drawing.svg import SVG, Text, scene

EASE_MM = 0.02
COVERS = 0.25
"""Share of its width that a wire stands out beyond another, from which it lies over it."""
ASIDE = 0.9
"""Share of two wires' widths between the middle of one and the way out of the other: less, and
one is in the other's way; insulation gives a little."""


@dataclass(frozen=True)
class Disc:
    """A strand in a section: its wires, and where it lies, mm from the middle of the round."""

    wires: frozenset[str]
    x: float
    y: float
    r: float

    @property
    def away(self) -> float:
        return math.hypot(self.x, self.y)

    def lies_over(self, other: Disc) -> bool:
        """Whether it lies straight outside of the other, so that the other cannot come out."""
        stands_out = self.away + self.r - other.away - other.r
        if self.away <= other.away or stands_out <= COVERS * 2 * self.r:
            return False
        if other.away < EASE_MM:
            return True
        facing = self.x * other.x + self.y * other.y > 0
        aside = abs(self.x * other.y - self.y * other.x) / other.away
        return facing and aside < ASIDE * (self.r + other.r) - EASE_MM


@dataclass(frozen=True)
class Cut:
    """One section: what it says of itself, and its strands."""

    title: str
    twisted: bool
    strands: tuple[Disc, ...]


def middle(text: Text) -> tuple[float, float]:
    xs, ys = zip(*text.quad, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _circles(svg: str, class_: str) -> Iterator[tuple[float, float, float]]:
    for circle in ET.fromstring(svg).iter(SVG + "circle"):
        if circle.get("class") == class_:
            yield tuple(float(circle.get(key)) for key in ("cx", "cy", "r"))  # type: ignore[misc]


def _holds(outer: tuple[float, float, float], inner: tuple[float, float, float]) -> bool:
    return math.dist(outer[:2], inner[:2]) + inner[2] <= outer[2] + EASE_MM


def cuts_of(svg: str) -> Iterator[Cut]:
    """Every section of a drawing of one or of several."""
    texts = scene(svg).texts
    numbers = [(middle(t), t.text) for t in texts if "number" in t.at.classes]
    covers = list(_circles(svg, "cover"))
    for cover in covers:
        left, top = cover[0] - cover[2], cover[1] - cover[2]
        over = [
            t for t in texts if middle(t)[1] < top + EASE_MM and _is_over(t, cover, left, covers)
        ]
        title = max((t for t in over if t.bold), key=lambda t: middle(t)[1])
        words = [t.text for t in over if middle(t)[1] > middle(title)[1]]
        wires = [c for c in _circles(svg, "wire") if _holds(cover, c)]
        named = {}
        for wire in wires:
            inside = [name for at, name in numbers if math.dist(at, wire[:2]) < wire[2]]
            assert len(inside) == 1, f"{title.text}: {inside} in one wire"
            named[wire] = inside[0]
        yield Cut(title.text, any("lay " in w for w in words), tuple(_strands(svg, cover, named)))


def _is_over(
    text: Text,
    cover: tuple[float, float, float],
    left: float,
    covers: list[tuple[float, float, float]],
) -> bool:
    """Whether words begin left of the middle of a section and right of those left of it."""
    start = min(x for x, _ in text.quad)
    beside = [x + r for x, y, r in covers if x < left and abs(y - cover[1]) < cover[2] + r]
    return max(beside, default=0.0) - EASE_MM < start + 25.0 and start < cover[0]


def _strands(
    svg: str,
    cover: tuple[float, float, float],
    named: dict[tuple[float, float, float], str],
) -> Iterator[Disc]:
    jackets = [c for c in _circles(svg, "jacket") if _holds(cover, c)]
    rounds = {jacket: [w for w in named if _holds(jacket, w)] for jacket in jackets}
    cored = {wire for wires in rounds.values() for wire in wires}
    rounds |= {wire: [wire] for wire in named if wire not in cored}
    for (x, y, r), wires in rounds.items():
        yield Disc(frozenset(named[w] for w in wires), x - cover[0], y - cover[1], r)


def about(strands: Iterable[Disc], core: Iterable[frozenset[str]]) -> list[Disc]:
    """The strands, each as it lies from the middle of those of the core."""
    lying, inmost = list(strands), set(core)
    middles = [(disc.x, disc.y) for disc in lying if disc.wires in inmost]
    x, y = (sum(at) / len(middles) for at in zip(*middles, strict=True))
    return [replace(disc, x=disc.x - x, y=disc.y - y) for disc in lying]


def covered(strands: Iterable[Disc], ends: Iterable[frozenset[str]]) -> list[tuple[str, str]]:
    """(a strand that goes on, one that comes in or out and lies straight inside of it)."""
    lying, ending = list(strands), set(ends)
    return [
        ("+".join(sorted(outer.wires)), "+".join(sorted(inner.wires)))
        for inner in lying
        if inner.wires in ending
        for outer in lying
        if outer.wires not in ending and outer.lies_over(inner)
    ]


@dataclass(frozen=True)
class Cavity:
    """A wired cavity of a face from the wire side, as it is drawn."""

    wire: str
    """'' on a face that is too full for numbers: it shows colours alone."""
    fill: str
    """Ink of the wire's body."""


def cavities_of(svg: str) -> dict[str, Cavity]:
    """Cavity -> what is drawn there, of every wired cavity of a face from the wire side.

    A cavity's name stands in its ring or next over it, its wire's number next under it.
    """
    texts = scene(svg).texts
    names = [t for t in texts if "cavity" in t.at.classes]
    numbers = [t for t in texts if "cavity" not in t.at.classes and re.fullmatch(WIRE, t.text)]
    fills = {
        (float(e.get("cx", 0)), float(e.get("cy", 0))): e.get("fill", "")
        for e in ET.fromstring(svg).iter(SVG + "circle")
    }
    found = {}
    for x, y, r in _circles(svg, "wire"):
        over = {
            n: y - r - max(v for _, v in t.quad) for n, t in enumerate(names) if _is_by(t, x, r)
        }
        inside = [t for t in names if math.dist(middle(t), (x, y)) < r / 2]
        name = inside[0] if inside else names[min((n for n in over if over[n] > 0), key=over.get)]
        under = [t for t in numbers if _is_by(t, x, r) and middle(t)[1] > y]
        wire = min(under, key=lambda t: middle(t)[1]).text if under else ""
        assert name.text not in found, name.text
        found[name.text] = Cavity(wire, fills[x, y])
    return found


def _is_by(text: Text, x: float, r: float) -> bool:
    return abs(middle(text)[0] - x) < r
