"""Where a circuit of several pins is spliced for least copper, and how splices are kept apart."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, combinations, product

from buildbook.harness.lengths import is_moving
from buildbook.harness.route import Rope
from buildbook.vehicle.model import Run, Vehicle

SPLICE_M = 1.0
"""Wire, as thin as the circuit's thinnest, that one more splice must save to be worth making;
judgement, no source."""
CROWD, CROWD_M = 6, 2.0
"""Wires that one crimp takes well, and what each further one counts for; judgement, no source."""
STUB_WEIGHT = 10.0
"""How much more a metre of stub on a twisted pair counts than a metre of copper: a data bus
wants short stubs (ISO 11898-2; the weight is judgement)."""
STAGGER_M = 0.04
"""Distance between neighbouring splices, so that no two lie side by side; common practice."""
CLEAR_M = 0.08
"""Rope left free between a connector or device and the nearest splice, so that the splice is out
of the backshell and the end can be re-terminated; common practice, no source."""
GAPS = ((STAGGER_M, True), (STAGGER_M, False), (STAGGER_M / 2, False), (0.001, False))
"""Distances tried one after the other, and whether also on another branch; then rope is short."""
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
class Star:
    """Splice points of one piece: which terminal goes to which, and the links between them."""

    points: tuple[str, ...]
    splice_of: tuple[int, ...]
    """For each terminal, the index of its splice point."""
    links: tuple[tuple[int, int], ...]


def _beside(rope: Rope, harness: str, point: str) -> list[Run]:
    return [
        run
        for run in rope.runs.values()
        if run.harness == harness and point in (run.from_point, run.to_point)
    ]


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
        beside = _beside(rope, harness, point)
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


def _trees(count: int) -> Iterator[tuple[tuple[int, int], ...]]:
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
class _Piece:
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
        return sum(self.rope.length_m(self.harness, points[a], points[b]) for a, b in links)

    def cost_m(self, star: Star) -> float:
        """Length times area of every wire in m of the thinnest leg, and what its crimps count for.

        On a bus the stubs count too.
        """
        total = sum(
            leg.area_mm2 * self.far_m(leg, star.points[at])
            for leg, at in zip(self.legs, star.splice_of, strict=True)
        )
        for link in star.links:
            far = _side(star.links, link)
            amps = [0.0, 0.0]
            for leg, at in zip(self.legs, star.splice_of, strict=True):
                amps[at in far] += leg.current_a
            total += self.link_m(star.points, [link]) * link_area_mm2(min(amps), self.legs)
        crowd = sum(max(0, count - CROWD) for count in wires_at(star))
        stubs = STUB_WEIGHT * self.stubs_m(star) if self.bus else 0.0
        whole = total / self.thinnest_mm2 + SPLICE_M * len(star.points) + CROWD_M * crowd + stubs
        return round(whole, 6)

    def nearest(self, points: Sequence[str]) -> tuple[int, ...]:
        """For each leg the nearest of the splices."""
        return tuple(
            min(range(len(points)), key=lambda at: (self.far_m(leg, points[at]), at))
            for leg in self.legs
        )

    def floor_m(self, points: Sequence[str]) -> float:
        """What no star on these points can cost less than: nearest legs and thinnest links."""
        legs = sum(
            leg.area_mm2 * self.far_m(leg, points[at])
            for leg, at in zip(self.legs, self.nearest(points), strict=True)
        )
        link = min(self.link_m(points, links) for links in _trees(len(points)))
        return round(legs / self.thinnest_mm2 + link + SPLICE_M * len(points), 6)

    def star(self, points: Sequence[str]) -> Star | None:
        """The least star on these splice points; None if one of them is always idle."""
        return min(
            (star for links in _trees(len(points)) for star in self._stars(points, links)),
            key=self.cost_m,
            default=None,
        )

    def _stars(self, points: Sequence[str], links: tuple[tuple[int, int], ...]) -> Iterator[Star]:
        """Stars joined so: every way to share the legs out, or the nearest and single moves."""
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
            star = Star(tuple(points), way, links)
            if min(wires_at(star)) > 2:
                yield star

    def stubs_m(self, star: Star) -> float:
        """Length of what leaves the bus: at each splice all wires but the two longest ways on."""
        total = 0.0
        for at, point in enumerate(star.points):
            own = [
                self.far_m(leg, point)
                for leg, i in zip(self.legs, star.splice_of, strict=True)
                if i == at
            ]
            onward = max(0, 2 - sum(at in link for link in star.links))
            total += sum(sorted(own, reverse=True)[onward:])
        return total


def wires_at(star: Star) -> list[int]:
    """How many wires meet at each splice."""
    return [
        star.splice_of.count(at) + sum(at in link for link in star.links)
        for at in range(len(star.points))
    ]


def _rank(vehicle: Vehicle, rope: Rope, point: str) -> tuple[bool, bool, str]:
    """Which of two points of equal cost is better: dry before wet, breakouts before devices."""
    zones = vehicle.description.zones
    beside = [r for r in rope.runs.values() if point in (r.from_point, r.to_point)]
    wet = any(zones[r.zone].wet for r in beside if r.zone in zones)
    return wet, any(device.point == point for device in vehicle.devices.values()), point


def place(
    vehicle: Vehicle,
    rope: Rope,
    harness: str,
    points: Sequence[str],
    legs: Sequence[Leg],
    pinned: str | None = None,
    bus: bool = False,
) -> Star | None:
    """Choose the splice points of one piece for least copper, length times area.

    `points` are the rope points that the piece touches, `legs` its three or more terminals,
    `pinned` the author's splice point. A second or third splice is made only where it saves
    SPLICE_M of the thinnest wire. On a `bus` the stubs are kept short before copper is saved.
    None where the author forbids every point.
    """
    piece = _Piece(rope, harness, tuple(legs), bus)
    allowed = allowed_points(vehicle, rope, harness)
    choices = _candidates(rope, harness, points, (leg.point for leg in legs), allowed)
    if bus:
        choices = [p for p in points if p in allowed] or choices
    ranks = {point: _rank(vehicle, rope, point) for point in {*choices, *filter(None, [pinned])}}

    def order(star: Star) -> tuple[float, list[tuple[bool, bool, str]]]:
        return piece.cost_m(star), sorted(ranks[point] for point in star.points)

    base = (pinned,) if pinned else ()
    best: Star | None = None
    for count in range(1, MOST_SPLICES + 1):
        if len(legs) < count + 2:
            break
        rest = [point for point in choices if point not in base]
        for more in combinations(rest, count - len(base)):
            chosen = (*base, *more)
            if best and piece.floor_m(chosen) > piece.cost_m(best):
                continue
            star = piece.star(chosen)
            if star and (best is None or order(star) < order(best)):
                best = star
    return best


def kept_star(
    vehicle: Vehicle,
    rope: Rope,
    harness: str,
    legs: Sequence[Leg],
    points: Sequence[str],
    pinned: str | None,
) -> Star | None:
    """The star on the points where a piece of a harness is spliced already.

    None where it was never spliced, where the author now names or forbids a point, or where a
    splice would be left with fewer than three wires.
    """
    allowed = allowed_points(vehicle, rope, harness)
    stays = all(point in allowed or point == pinned for point in points)
    if not points or not stays or (pinned and pinned not in points):
        return None
    return _Piece(rope, harness, tuple(legs)).star(points)


@dataclass(frozen=True)
class Spot:
    """Where a splice is wanted, the points of its circuit there, and its mark if it has one."""

    harness: str
    point: str
    own: frozenset[str]
    mark: tuple[float, str] | None = None
    """Offset in m and run id, where the splice exists already."""


class _Marks:
    """The marks taken so far while splices are set apart."""

    def __init__(self, vehicle: Vehicle, rope: Rope) -> None:
        self.vehicle, self.rope = vehicle, rope
        self.occupied = {device.point for device in vehicle.devices.values()}
        """Points where a device or a connector stands."""
        self.at: dict[tuple[str, str], list[float]] = {}
        """(harness, point) -> offsets."""
        self.along: dict[str, list[float]] = {}
        """Run id -> distance of each splice from the run's first point, in m."""

    def take(self, spot: Spot, offset: float, run: str) -> None:
        self.at.setdefault((spot.harness, spot.point), []).append(offset)
        if run:
            self.along.setdefault(run, []).append(self._from_start(spot, run, offset))

    def _from_start(self, spot: Spot, run: str, offset: float) -> float:
        held = self.rope.runs[run]
        return offset if spot.point == held.from_point else held.length_m - offset

    def clear(self, spot: Spot, offset: float, run: Run | None, gap: float, apart: bool) -> bool:
        """Whether a mark keeps its distance from the others along the rope.

        With `apart` it is also no splice's mark on another branch of the same point.
        """
        taken = self.at.get((spot.harness, spot.point), ())
        if apart and any(abs(offset - other) < gap - 1e-9 for other in taken):
            return False
        if not apart and any(offset + other < gap - 1e-9 for other in taken):
            return False
        if run is None:
            return True
        here = self._from_start(spot, run.id, offset)
        return all(abs(here - other) > gap - 1e-9 for other in self.along.get(run.id, ()))

    def find(self, spot: Spot) -> tuple[float, str]:
        """The nearest mark that is clear, wider spacing first."""
        beside = _beside(self.rope, spot.harness, spot.point)
        still = [run for run in beside if not is_moving(self.vehicle, run)]
        start = STAGGER_M if still and len(still) < len(beside) else 0.0
        start = CLEAR_M if spot.point in self.occupied else start
        runs = sorted(
            still or beside,
            key=lambda r: (not {r.from_point, r.to_point} <= spot.own, -r.length_m, r.id),
        )
        longest = max((run.length_m for run in runs), default=1.0)
        for gap, apart in GAPS:
            first = math.ceil(start / gap - 1e-9) if runs and gap > GAPS[-1][0] else 0
            for step in range(first, int(longest / gap) + 2):
                offset = round(step * gap, 4)
                if step == 0 or not runs:
                    if self.clear(spot, offset, None, gap, apart):
                        return offset, ""
                    continue
                for run in runs:
                    room = run.length_m / 2 - gap / 2
                    if offset <= room and self.clear(spot, offset, run, gap, apart):
                        return offset, run.id
        return 0.0, ""


def stagger(vehicle: Vehicle, rope: Rope, spots: Sequence[Spot]) -> list[tuple[float, str]]:
    """Offset in m and run for each splice, so that no mark repeats and none lies on moving rope.

    Splices that exist keep their marks. The first other one at a point sits on it, unless rope
    begins to move there or a connector is in the way; the next ones go out along a still run that
    the circuit takes anyway, the longest first, as long as they keep to its near half.
    """
    marks = _Marks(vehicle, rope)
    for spot in spots:
        if spot.mark:
            marks.take(spot, *spot.mark)
    found = []
    for spot in spots:
        mark = spot.mark or marks.find(spot)
        if not spot.mark:
            marks.take(spot, *mark)
        found.append(mark)
    return found
