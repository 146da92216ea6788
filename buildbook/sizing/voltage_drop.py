"""Voltage drop: what a wire loses, and wires enlarged until each load has what it is allowed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from buildbook.electrical.model import Solved
from buildbook.sizing.installation import Installation
from buildbook.sizing.load_paths import LoadPath
from buildbook.sizing.resistance import joints_ohm

LEAST_SHARE = 0.5
"""Of an allowance that stays with the wires that can grow, however much the others lose:
copper cannot make up for a thin terminal, and would be wasted. Our choice."""


@dataclass(frozen=True)
class WorstPath:
    """The load on a wire's path that comes nearest its allowance."""

    load: str
    state: str
    drop_v: float
    allowed_v: float


@dataclass(frozen=True)
class SizableWire:
    """A wire on a path: its current times its rise of resistance, and the sizes it may have."""

    wire: str
    installation: Installation
    warm_a: float
    least: int
    most: int

    def per_metre_v(self, size: int) -> float:
        return self.warm_a * self.installation.candidates[size].conductor.ohm_per_m_20c

    def at(self, per_metre_v: float) -> int:
        """Thinnest size that loses no more than that on each metre, or the thickest allowed."""
        for size in range(self.least, self.most):
            if self.per_metre_v(size) <= per_metre_v * (1 + 1e-9):
                return size
        return self.most

    def drop_v(self, per_metre_v: float) -> float:
        return self.per_metre_v(self.at(per_metre_v)) * self.installation.wire.cut_m


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
    currents: Mapping[str, Mapping[str, float]],
    ratios: Mapping[str, float],
) -> dict[str, int]:
    """Sizes with which every path keeps its allowance, as far as terminals and author let it.

    On one path every wire may lose the same volts a metre, the most with which the path keeps
    its allowance; a wire on several paths takes the thickest that any asks for. So more current,
    length or heat never makes a wire of the path thinner, and the order of the paths is nothing.
    `currents` is state -> wire -> amps; sizes are places in each wire's candidates.
    """
    grown = dict(sizes)
    for path in paths:
        if path.signal:
            continue
        amps = currents[path.state]
        fixed_v, free = 0.0, []
        for wire in dict.fromkeys(path.wires):
            installation, most = places[wire], _most(places[wire], sizes[wire])
            if most == sizes[wire]:
                fixed_v += wire_drop_v(installation, most, amps[wire], ratios[wire])
            else:
                fixed_v += abs(amps[wire]) * joints_ohm(installation.wire)
                free.append(
                    SizableWire(
                        wire, installation, abs(amps[wire]) * ratios[wire], sizes[wire], most
                    )
                )
        rest_v = max(path.wire_allowance_v - fixed_v, LEAST_SHARE * path.wire_allowance_v)
        per_metre_v = _per_metre_v(free, rest_v)
        for stretch in free:
            grown[stretch.wire] = max(grown[stretch.wire], stretch.at(per_metre_v))
    return grown


def _per_metre_v(free: list[SizableWire], rest_v: float) -> float:
    """Most volts a metre with which all stretches together lose no more than `rest_v`.

    Where not even their thickest sizes do, half the even share, so that what can grow keeps its
    part of the bargain and no more.
    """

    def kept(per_metre_v: float) -> bool:
        return sum(s.drop_v(per_metre_v) for s in free) <= rest_v

    if not free or kept(math.inf):
        return math.inf
    steps = sorted({s.per_metre_v(size) for s in free for size in range(s.least, s.most + 1)})
    low, high = -1, len(steps) - 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if kept(steps[middle]) else (low, middle)
    even_v = LEAST_SHARE * rest_v / sum(s.installation.wire.cut_m for s in free)
    return max(steps[low] if low >= 0 else 0.0, even_v)


def _most(installation: Installation, size: int) -> int:
    """Thickest size that author, signal and terminals leave to a wire, never under its own."""
    if installation.pinned is not None or installation.signal:
        return size
    fits = [i for i, c in enumerate(installation.candidates) if c.area_mm2 <= installation.most_mm2]
    return max(size, *fits[-1:])


def worst_paths(
    paths: Iterable[LoadPath], voltages: Mapping[str, Mapping[str, float]]
) -> dict[str, WorstPath]:
    """For each wire the path through it that uses most of its allowance.

    `voltages` is state -> wire -> volts along it.
    """
    found: dict[str, WorstPath] = {}
    for path in paths:
        if path.signal:
            continue
        drop = sum(abs(voltages[path.state][w]) for w in dict.fromkeys(path.wires))
        worst = WorstPath(path.load.id, path.state, drop, path.wire_allowance_v)
        for wire in path.wires:
            known = found.get(wire)
            if known is None or drop / worst.allowed_v > known.drop_v / known.allowed_v:
                found[wire] = worst
    return found
