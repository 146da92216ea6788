"""Where a circuit of several pins is spliced for least copper."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, combinations, product
from math import fsum

from buildbook.harness.cut_length import is_moving
from buildbook.harness.rope import Rope
from buildbook.vehicle.model import Vehicle

SPLICE_M = 1.0
"""Wire, as thin as the circuit's thinnest, that one more splice must save to be worth making;
judgement, no source."""
CROWD, CROWD_M = 6, 2.0
"""Wires that one crimp takes well, and what each further one counts for; judgement, no source."""
STUB_WEIGHT = 10.0
"""How much more a metre of stub on a twisted pair counts than a metre of copper: a data bus
wants short stubs (ISO 11898-2; the weight is judgement)."""
MOST_WAYS = 1024
"""Ways to share the terminals out among splices that are all tried; above it, single moves."""
MOST_SPLICES = 3
"""Splices in one piece of a circuit; more are never worth their crimps in a car; judgement."""


@dataclass(frozen=True)
class Leg:
    """One terminal of a piece: its point, and what an earlier pass knows of its wire."""

    point: str
    area_mm2: float = 1.0
    current_a: float = 0.0


@dataclass(frozen=True)
class SpliceTree:
    """Splice points of one piece: which terminal goes to which, and the links between them."""

    points: tuple[str, ...]
    splice_of: tuple[int, ...]
    """For each terminal, the index of its splice point."""
    links: tuple[tuple[int, int], ...]


def no_splices(vehicle: Vehicle, harness: str) -> frozenset[str]:
    """Points of a harness where the author forbids splices."""
    written = vehicle.description.rope.get(harness)
    return frozenset(written.no_splices if written else ())


def allowed_points(vehicle: Vehicle, rope: Rope, harness: str) -> frozenset[str]:
    """Points of a harness where something may be spliced.

    Not where the author forbids, and not where all rope moves; in a harness that moves as a
    whole only the author's word counts.
    """
    points = set(rope.inside[harness]) - no_splices(vehicle, harness)
    still = set()
    for point in points:
        beside = rope.runs_beside(harness, point)
        if not beside or not all(is_moving(vehicle, run) for run in beside):
            still.add(point)
    return frozenset(still or points)


def _candidates(
    rope: Rope, harness: str, points: Sequence[str], ends: Iterable[str], allowed: Collection[str]
) -> list[str]:
    """Points where the least copper can lie: ends, breakouts of the piece, edges of no-go rope.

    Between them copper only rises or falls; the piece's points come first.
    """
    ends = set(ends)
    near = rope.inside[harness]
    beside: dict[str, set[str]] = {point: set() for point in near}
    for run in rope.runs.values():
        if run.harness == harness:
            beside[run.from_point].add(run.to_point)
            beside[run.to_point].add(run.from_point)
    own = set(points)

    def useful(point: str) -> bool:
        if point in own and (point in ends or len(beside[point] & own) > 2):
            return True
        return any(other not in allowed for other in beside[point])

    ordered = [*points, *(point for point in near if point not in own)]
    return [point for point in ordered if point in allowed and useful(point)]


def link_area_mm2(current_a: float, legs: Sequence[Leg]) -> float:
    """Copper of a wire between two splices: the thinnest leg that already carries as much.

    Above the heaviest leg it grows with the current.
    """
    strong = [leg.area_mm2 for leg in legs if leg.current_a >= current_a - 1e-9]
    if strong:
        return min(strong)
    heaviest = max(legs, key=lambda leg: leg.current_a)
    return max(leg.area_mm2 for leg in legs) * current_a / heaviest.current_a


def _links(count: int) -> Iterator[tuple[tuple[int, int], ...]]:
    """The ways to join one, two or three splices."""
    pairs = list(combinations(range(count), 2))
    yield from combinations(pairs, count - 1)


def _side(links: Iterable[tuple[int, int]], cut: tuple[int, int]) -> set[int]:
    """Splices on the second's side of a link."""
    found = {cut[1]}
    for _ in range(MOST_SPLICES):
        for link in links:
            if link != cut and found & set(link):
                found |= set(link)
    return found


@dataclass(frozen=True)
class _SplicedPiece:
    """A piece of a circuit while its splices are sought."""

    rope: Rope
    harness: str
    legs: tuple[Leg, ...]
    bus: bool = False

    @cached_property
    def thinnest_mm2(self) -> float:
        return min(leg.area_mm2 for leg in self.legs)

    def far_m(self, leg: Leg, point: str) -> float:
        return self.rope.inside[self.harness][leg.point][0][point]

    def link_m(self, points: Sequence[str], links: Iterable[tuple[int, int]]) -> float:
        return fsum(self.rope.length_m(self.harness, points[a], points[b]) for a, b in links)

    def cost_m(self, tree: SpliceTree) -> float:
        """Length times area of every wire in m of the thinnest leg, and what its crimps count for.

        On a bus the stubs count too.
        """
        total = fsum(
            leg.area_mm2 * self.far_m(leg, tree.points[at])
            for leg, at in zip(self.legs, tree.splice_of, strict=True)
        )
        for link in tree.links:
            far = _side(tree.links, link)
            amps = [0.0, 0.0]
            for leg, at in zip(self.legs, tree.splice_of, strict=True):
                amps[at in far] += leg.current_a
            total += self.link_m(tree.points, [link]) * link_area_mm2(min(amps), self.legs)
        crowd = sum(max(0, count - CROWD) for count in wires_at(tree))
        stubs = STUB_WEIGHT * self.stubs_m(tree) if self.bus else 0.0
        whole = total / self.thinnest_mm2 + SPLICE_M * len(tree.points) + CROWD_M * crowd + stubs
        return round(whole, 6)

    def nearest(self, points: Sequence[str]) -> tuple[int, ...]:
        """For each leg the nearest of the splices."""
        return tuple(
            min(range(len(points)), key=lambda at: (self.far_m(leg, points[at]), at))
            for leg in self.legs
        )

    def floor_m(self, points: Sequence[str]) -> float:
        """What no tree on these points can cost less than: nearest legs and thinnest links."""
        legs = fsum(
            leg.area_mm2 * self.far_m(leg, points[at])
            for leg, at in zip(self.legs, self.nearest(points), strict=True)
        )
        link = min(self.link_m(points, links) for links in _links(len(points)))
        return round(legs / self.thinnest_mm2 + link + SPLICE_M * len(points), 6)

    def tree(self, points: Sequence[str]) -> SpliceTree | None:
        """The cheapest tree on these splice points; None if one of them is always idle."""
        return min(
            (tree for links in _links(len(points)) for tree in self._trees_on(points, links)),
            key=self.cost_m,
            default=None,
        )

    def _trees_on(
        self, points: Sequence[str], links: tuple[tuple[int, int], ...]
    ) -> Iterator[SpliceTree]:
        """Trees linked so: every way to share the legs out, or the nearest and single moves."""
        count, near = len(points), self.nearest(points)
        alike = len({(leg.area_mm2, leg.current_a) for leg in self.legs}) == 1
        ways: Iterable[tuple[int, ...]] = [near]
        if not (count == 1 or self.bus):
            moved = (
                (*near[:at], other, *near[at + 1 :])
                for at in range(len(near))
                for other in range(count)
                if other != near[at]
            )
            few = not alike and count ** len(self.legs) <= MOST_WAYS
            ways = chain([near], product(range(count), repeat=len(self.legs)) if few else moved)
        for way in ways:
            tree = SpliceTree(tuple(points), way, links)
            if min(wires_at(tree)) > 2:
                yield tree

    def stubs_m(self, tree: SpliceTree) -> float:
        """Length of what leaves the bus: at each splice all wires but the two longest ways on."""
        total = 0.0
        for at, point in enumerate(tree.points):
            own = [
                self.far_m(leg, point)
                for leg, i in zip(self.legs, tree.splice_of, strict=True)
                if i == at
            ]
            onward = max(0, 2 - sum(at in link for link in tree.links))
            total += fsum(sorted(own, reverse=True)[onward:])
        return total


def wires_at(tree: SpliceTree) -> list[int]:
    """How many wires meet at each splice."""
    return [
        tree.splice_of.count(at) + sum(at in link for link in tree.links)
        for at in range(len(tree.points))
    ]


def _rank(vehicle: Vehicle, rope: Rope, point: str) -> tuple[bool, bool, str]:
    """Which of two points of equal cost is better: dry before wet, breakouts before devices."""
    zones = vehicle.description.zones
    beside = [r for r in rope.runs.values() if point in (r.from_point, r.to_point)]
    wet = any(zones[r.zone].wet for r in beside if r.zone in zones)
    return wet, any(device.point == point for device in vehicle.devices.values()), point


def choose_splice_tree(
    vehicle: Vehicle,
    rope: Rope,
    harness: str,
    points: Sequence[str],
    legs: Sequence[Leg],
    pinned: str | None = None,
    bus: bool = False,
) -> SpliceTree | None:
    """Choose the splice points of one piece for least copper, length times area.

    `points` are the rope points that the piece touches, `legs` its three or more terminals,
    `pinned` the author's splice point. A second or third splice is made only where it saves
    SPLICE_M of the thinnest wire. On a `bus` the stubs are kept short before copper is saved.
    None where the author forbids every point.
    """
    piece = _SplicedPiece(rope, harness, tuple(legs), bus)
    allowed = allowed_points(vehicle, rope, harness)
    choices = _candidates(rope, harness, points, (leg.point for leg in legs), allowed)
    if bus:
        choices = [p for p in points if p in allowed] or choices
    ranks = {point: _rank(vehicle, rope, point) for point in {*choices, *filter(None, [pinned])}}

    def order(tree: SpliceTree) -> tuple[float, list[tuple[bool, bool, str]]]:
        return piece.cost_m(tree), sorted(ranks[point] for point in tree.points)

    base = (pinned,) if pinned else ()
    best: SpliceTree | None = None
    for count in range(1, MOST_SPLICES + 1):
        if len(legs) < count + 2:
            break
        rest = [point for point in choices if point not in base]
        for more in combinations(rest, count - len(base)):
            chosen = (*base, *more)
            if best and piece.floor_m(chosen) > piece.cost_m(best):
                continue
            tree = piece.tree(chosen)
            if tree and (best is None or order(tree) < order(best)):
                best = tree
    return best


def kept_splice_tree(
    vehicle: Vehicle,
    rope: Rope,
    harness: str,
    legs: Sequence[Leg],
    points: Sequence[str],
    pinned: str | None,
) -> SpliceTree | None:
    """The tree on the points where a piece of a harness is spliced already.

    None where it was never spliced, where the author now names or forbids a point, or where a
    splice would be left with fewer than three wires.
    """
    allowed = allowed_points(vehicle, rope, harness)
    stays = all(point in allowed or point == pinned for point in points)
    if not points or not stays or (pinned and pinned not in points):
        return None
    return _SplicedPiece(rope, harness, tuple(legs)).tree(points)
