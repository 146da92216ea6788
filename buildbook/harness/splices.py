"""Where a circuit of several pins is spliced, and how splices are kept apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from buildbook.harness.route import Rope
from buildbook.vehicle.model import Run, Vehicle

SPLICE_M = 1.0
"""Copper that one more splice must save to be worth making; judgement, no source."""
MOVING_M = 5.0
"""Copper given away to keep a splice out of rope that moves; judgement, no source."""
CROWD, CROWD_M = 6, 2.0
"""Wires that one crimp takes well, and what each further one counts for; judgement, no source."""
STUB_WEIGHT = 10.0
"""How much more a metre of stub on a twisted pair counts than a metre of copper: a data bus
wants short stubs (ISO 11898-2; the weight is judgement)."""
STAGGER_M = 0.04
"""Distance between neighbouring splices, so that no two lie side by side; common practice."""


@dataclass(frozen=True)
class Star:
    """Splice points of one piece: which terminal goes to which, and the links between them."""

    points: tuple[str, ...]
    splice_of: tuple[int, ...]
    """For each terminal, the index of its splice point."""
    links: tuple[tuple[int, int], ...]


def moves(vehicle: Vehicle, rope: Rope, harness: str, point: str) -> float:
    """Share of the runs at a point that are in a moving zone: 1 is wholly inside one."""
    zones = vehicle.description.zones
    runs = [r for r in rope.runs.values() if r.harness == harness]
    beside = [r for r in runs if point in (r.from_point, r.to_point)]
    moving = [r for r in beside if r.zone in zones and zones[r.zone].moving]
    return len(moving) / len(beside) if beside else 0.0


def _links(rope: Rope, harness: str, points: Sequence[str]) -> tuple[tuple[int, int], ...]:
    """Shortest links that join the splice points to each other."""
    joined, links = [0], []
    while len(joined) < len(points):
        left = [i for i in range(len(points)) if i not in joined]
        a, b = min(
            ((i, j) for i in joined for j in left),
            key=lambda ij: (rope.length_m(harness, points[ij[0]], points[ij[1]]), ij),
        )
        links.append((a, b))
        joined.append(b)
    return tuple(links)


def _try(
    rope: Rope, harness: str, points: Sequence[str], ends: Sequence[str]
) -> tuple[float, Star] | None:
    """Copper in m (and what crowding counts for) of a star on these points.

    None where a splice would be idle.
    """
    near = rope.inside[harness]
    splice_of = tuple(
        min(range(len(points)), key=lambda i: (near[end][0][points[i]], i)) for end in ends
    )
    links = _links(rope, harness, points)
    wires = [splice_of.count(i) + sum(i in link for link in links) for i in range(len(points))]
    if min(wires) < 3:
        return None
    copper = sum(near[end][0][points[i]] for end, i in zip(ends, splice_of, strict=True))
    copper += sum(rope.length_m(harness, points[a], points[b]) for a, b in links)
    copper += CROWD_M * sum(max(0, count - CROWD) for count in wires)
    return copper, Star(tuple(points), splice_of, links)


def _stubs_m(rope: Rope, harness: str, star: Star, ends: Sequence[str]) -> float:
    """Length of what leaves the bus: at each splice all wires but the two longest ways on."""
    total = 0.0
    for at, point in enumerate(star.points):
        own = [
            rope.length_m(harness, end, point)
            for end, i in zip(ends, star.splice_of, strict=True)
            if i == at
        ]
        onward = max(0, 2 - sum(at in link for link in star.links))
        total += sum(sorted(own, reverse=True)[onward:])
    return total


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
    ends: Sequence[str],
    pinned: str | None = None,
    bus: bool = False,
) -> Star:
    """Choose the splice points of one piece for least copper.

    `points` are the rope points that the piece touches, `ends` the point of each of its three
    or more terminals, `pinned` the author's splice point. A second or third splice is made only
    where it saves SPLICE_M; a point in moving rope only where the others cost MOVING_M more.
    On a `bus` the stubs are kept short before copper is saved.
    """
    burden = {point: MOVING_M * moves(vehicle, rope, harness, point) for point in points}
    if pinned:
        burden[pinned] = 0.0
    ranks = {point: _rank(vehicle, rope, point) for point in burden}

    def cost(found: tuple[float, Star]) -> tuple[float, list[tuple[bool, bool, str]]]:
        extra = sum(SPLICE_M + burden[point] for point in found[1].points)
        if bus:
            extra += STUB_WEIGHT * _stubs_m(rope, harness, found[1], ends)
        return round(found[0] + extra, 6), sorted(ranks[point] for point in found[1].points)

    best = None
    for count in range(1, 4):
        if count > 1 and len(ends) < count + 2:
            break
        base = best[1].points if best and count > 2 else (pinned,) if pinned else ()
        tried = [
            _try(rope, harness, (*base, *more), ends)
            for more in combinations([p for p in points if p not in base], count - len(base))
        ]
        good = [found for found in tried if found]
        top = min(good, key=cost, default=None)
        if top is None or (best is not None and cost(top)[0] >= cost(best)[0]):
            break
        best = top
    assert best is not None
    return best[1]


def stagger(
    vehicle: Vehicle, rope: Rope, places: Sequence[tuple[str, str, frozenset[str]]]
) -> list[tuple[float, str]]:
    """Offset in m and run for each splice, so that no mark repeats.

    A place is (harness, point, points of the circuit there). The first splice at a point sits
    on it; the next ones go out along a still run that the circuit takes anyway, the longest
    first, as long as they keep to its near half.
    """
    zones = vehicle.description.zones
    count: dict[tuple[str, str], int] = {}
    marks = []
    for harness, point, own in places:
        at = count.get((harness, point), 0)
        count[harness, point] = at + 1
        offset = round(at * STAGGER_M, 3)
        beside = [
            run
            for run in rope.runs.values()
            if run.harness == harness and point in (run.from_point, run.to_point)
        ]

        def rank(run: Run, own: frozenset[str] = own) -> tuple[bool, bool, float, str]:
            moving = run.zone in zones and zones[run.zone].moving
            return moving, not {run.from_point, run.to_point} <= own, -run.length_m, run.id

        runs = sorted(beside, key=rank)
        fits = [run for run in runs if offset <= run.length_m / 2 - STAGGER_M / 2]
        marks.append((offset, (fits or runs)[0].id if at and runs else ""))
    return marks
