"""Voltage drop: what a wire loses, and wires thickened so that each load has what it is allowed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from buildbook.catalogue.copper import OHM_MM_20C
from buildbook.electrical.model import Solved
from buildbook.sizing.installation import Installation
from buildbook.sizing.least_copper import Stretch, Way, least_copper
from buildbook.sizing.load_paths import LoadPath
from buildbook.sizing.resistance import joints_ohm

LEAST_SHARE = 1 / 4
"""Of an allowance: where contacts and fuses leave less to the wires, no copper makes up for them.
So no way asks a wire to be more than four times as thick as if they lost nothing. Our choice."""
OHM_MM2_PER_M = 1e3 * OHM_MM_20C


@dataclass(frozen=True)
class WorstPath:
    """The load on a wire's path that comes nearest its allowance."""

    load: str
    state: str
    drop_v: float
    allowed_v: float


def largest_drop(solved: Solved, installation: Installation) -> tuple[float, float, str]:
    """The most that a wire loses in any state, V, the current that does it, A, and the state.

    Read off the solved network: this is what the book prints.
    """
    wire, found = installation.wire, (0.0, 0.0, "")
    for state, heating in solved.heating.items():
        for solution in (heating, solved.meter[state]):
            volts = abs(solution.across(wire.a.node, wire.b.node))
            if volts > found[0]:
                found = (volts, abs(solution.current_a[f"wire:{wire.id}"]), state)
    return found


def wire_drop_v(installation: Installation, size: int, current_a: float, ratio: float) -> float:
    """Volts along one wire; `ratio` is its resistance against that at 20 degC."""
    chosen = installation.pinned or installation.candidates[size]
    copper = chosen.conductor.ohm_per_m_20c * installation.wire.cut_m * ratio
    return abs(current_a) * (copper + joints_ohm(installation.wire))


def enlarge_for_drop(
    paths: Iterable[LoadPath],
    places: Mapping[str, Installation],
    sizes: Mapping[str, int],
    ratios: Mapping[str, float],
    before: Mapping[str, int] | None = None,
) -> dict[str, int]:
    """Sizes with which every path keeps its allowance, with the least copper in all.

    What contacts, fuses and grounds take is taken off first; where they leave less than
    `LEAST_SHARE`, copper is no cure and the path asks for nothing. A path that cannot be kept
    because some wires may not grow, for their terminals or their author, has the others as thick
    as these, in proportion, and no thicker than if all could. Sizes are places in each wire's
    candidates; `before` are those of an earlier round, which stay where they are good enough.
    """
    ways = [w for w in _ways(paths, places, ratios) if w.curable]
    sensible_mm2 = _sensible_mm2(ways)
    most = {w: _most(places[w], size, sensible_mm2.get(w, 0.0)) for w, size in sizes.items()}
    lost = [way for way in ways if way.lost_v(places, most) > way.allowed_v]
    least = dict(sizes)
    for way in lost:
        share = _held_share(way, places, most)
        for wire, ideal_mm2 in way.ideal_mm2.items():
            asked = min(places[wire].at_least(share * ideal_mm2), most[wire])
            least[wire] = max(least[wire], asked)
    found = [_left(way, places, least, most) for way in ways if way not in lost]
    found = [way for way in found if way.amps]
    stretches = [
        _stretch(places[w], range(least[w], most[w] + 1))
        for w in sorted({w for way in found for w in way.amps}, key=lambda w: _key(places[w]))
    ]
    known = {s.wire: max((before or least)[s.wire] - least[s.wire], 0) for s in stretches}
    grown = least_copper(stretches, found, known)
    return {w: size + grown.get(w, 0) for w, size in least.items()}


@dataclass(frozen=True)
class _DropWay:
    """What a way may lose, what it loses in all but copper, and the warm amps through its wires.

    Warm amps are amps times the rise of resistance: with ohms at 20 degC they give volts.
    """

    load: str
    allowed_v: float
    other_v: float
    warm_a: Mapping[str, float]
    ideal_mm2: Mapping[str, float]
    """Of each wire, were copper all that loses and every wire free: the least copper is in
    proportion to the root of each current."""

    @property
    def curable(self) -> bool:
        return self.other_v <= (1 - LEAST_SHARE) * self.allowed_v

    def lost_v(self, places: Mapping[str, Installation], sizes: Mapping[str, int]) -> float:
        copper_v = math.fsum(a * _copper_ohm(places[w], sizes[w]) for w, a in self.warm_a.items())
        return self.other_v + copper_v


def _left(
    way: _DropWay,
    places: Mapping[str, Installation],
    least: Mapping[str, int],
    most: Mapping[str, int],
) -> Way:
    """What a way leaves to those of its wires that can grow; none where it is kept as it is."""
    if way.lost_v(places, least) <= way.allowed_v:
        return Way(way.allowed_v, {})
    free = {w: a for w, a in way.warm_a.items() if most[w] > least[w]}
    free_v = math.fsum(a * _copper_ohm(places[w], least[w]) for w, a in free.items())
    return Way(way.allowed_v - way.lost_v(places, least) + free_v, free)


def _held_share(
    way: _DropWay, places: Mapping[str, Installation], most: Mapping[str, int]
) -> float:
    """How thick the wires that may not grow to their ideal are, as a share of it; 1 for none."""
    lost, ideally_lost = 0.0, 0.0
    for wire, ideal_mm2 in way.ideal_mm2.items():
        chosen = places[wire].pinned or places[wire].candidates[most[wire]]
        if chosen.area_mm2 < ideal_mm2:
            amp_metres = way.warm_a[wire] * places[wire].wire.cut_m
            lost += amp_metres / chosen.area_mm2
            ideally_lost += amp_metres / ideal_mm2
    return ideally_lost / lost if lost else 1.0


def _at_most(installation: Installation, area_mm2: float) -> int:
    """Place of the thickest candidate of no more than an area, or of the thinnest there is."""
    fits = [i for i, c in enumerate(installation.candidates) if c.area_mm2 <= area_mm2 + 1e-9]
    return max(fits, default=0)


def _ways(
    paths: Iterable[LoadPath],
    places: Mapping[str, Installation],
    ratios: Mapping[str, float],
) -> list[_DropWay]:
    found = []
    for path in paths:
        if path.signal:
            continue
        amps = {w: abs(path.amps[f"wire:{w}"]) for w in path.wires}
        joints_v = math.fsum(a * joints_ohm(places[w].wire) for w, a in amps.items())
        warm_a = {w: a * ratios[w] for w, a in amps.items()}
        root = {w: math.sqrt(a) for w, a in warm_a.items()}
        per_root = math.fsum(root[w] * places[w].wire.cut_m for w in root) * OHM_MM2_PER_M
        ideal_mm2 = {w: r * per_root / path.allowed_v for w, r in root.items()}
        found.append(
            _DropWay(path.load.id, path.allowed_v, path.other_drop_v + joints_v, warm_a, ideal_mm2)
        )
    return found


def _copper_ohm(installation: Installation, size: int) -> float:
    """Ohms of a wire's copper at 20 degC."""
    chosen = installation.pinned or installation.candidates[size]
    return chosen.conductor.ohm_per_m_20c * installation.wire.cut_m


def _stretch(installation: Installation, sizes: Iterable[int]) -> Stretch:
    conductors = [installation.candidates[size].conductor for size in sizes]
    length_m = installation.wire.cut_m
    return Stretch(
        installation.wire.id,
        tuple(c.copper_mm2 * length_m for c in conductors),
        tuple(c.ohm_per_m_20c * length_m for c in conductors),
    )


def _key(installation: Installation) -> tuple[str, ...]:
    """Tells a wire from others by what its author wrote: numbers follow the file's order."""
    wire = installation.wire
    ends = sorted(e.point if e.kind == "splice" else e.node for e in (wire.a, wire.b))
    return (wire.circuit, wire.harness, *ends, f"{wire.cut_m:.6f}", wire.id)


def _sensible_mm2(ways: Iterable[_DropWay]) -> dict[str, float]:
    """The most that the ways of all loads have reason to ask of each wire.

    What a shared wire is worth to each adds up, and copper goes with the root of its worth.
    """
    of_load: dict[tuple[str, str], float] = {}
    for way in ways:
        for wire, ideal_mm2 in way.ideal_mm2.items():
            of_load[wire, way.load] = max(of_load.get((wire, way.load), 0.0), ideal_mm2)
    squares: dict[str, float] = {}
    for (wire, _load), ideal_mm2 in of_load.items():
        squares[wire] = squares.get(wire, 0.0) + ideal_mm2**2
    return {wire: math.sqrt(square) / LEAST_SHARE for wire, square in squares.items()}


def _most(installation: Installation, size: int, sensible_mm2: float) -> int:
    """Thickest size that author, signal, terminals and good sense leave to a wire."""
    if installation.pinned is not None or installation.signal:
        return size
    most_mm2 = min(installation.most_mm2, installation.owned_mm2, sensible_mm2)
    return max(size, _at_most(installation, most_mm2))


def worst_paths(
    paths: Iterable[LoadPath],
) -> dict[str, WorstPath]:
    """For each wire the path through it that uses most of its allowance."""
    found: dict[str, WorstPath] = {}
    for path in paths:
        if path.signal:
            continue
        drop = path.lost_v
        worst = WorstPath(path.load.id, path.state, drop, path.allowed_v)
        for wire in path.wires:
            known = found.get(wire)
            if known is None or drop / worst.allowed_v > known.drop_v / known.allowed_v:
                found[wire] = worst
    return found
