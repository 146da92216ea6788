"""What each fuse carries: for ever, in its hardest inrush, and while a starter turns."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import fsum

from buildbook.electrical.model import Solved
from buildbook.sizing.load_paths import FLAT_BATTERY, LoadPath
from buildbook.sizing.openers import Opener, openers
from buildbook.sizing.slow_pulses import added_to_fuse_a, plus
from buildbook.vehicle.model import Vehicle
from buildbook.words.joined import all_of

BAND_C = 23.0
"""Air temperature at which opening times hold (ISO 8820-1, from memory)."""
CRANK_S = 30.0
"""Longest time that a starter is held (common practice, no source): its cables and fuses are
judged for that, not for ever."""
UNKNOWN_C = 40.0
"""Taken where no rope reaches a device. Our choice."""


@dataclass(frozen=True)
class FuseLoad:
    """What a fuse carries for ever, its hardest inrush, and the starter's current if it has it."""

    current_a: float
    """The larger of root mean square and average, in the state where it is largest."""
    state: str
    inrush_a: float
    inrush_s: float
    inrush_load: str
    feeds: tuple[str, ...]
    crank_a: float = 0.0
    ambient_c: float = BAND_C


def fuse_loads(
    vehicle: Vehicle,
    paths: Iterable[LoadPath],
    solved: Solved,
    charging_a: Mapping[str, float],
    cranking: frozenset[str],
) -> dict[str, FuseLoad]:
    """What every fuse and every output that trips carries, by its id.

    `paths` are those of the heating currents. `charging_a` is the least to allow for in each
    branch on the way from alternator to battery; `cranking` are the states in which a starter
    turns: what it takes through a fuse is timed, and no load for ever.
    """
    every = openers(vehicle)
    known = {branch for opener in every.values() for branch in opener.branches}
    by_branch: dict[str, list[LoadPath]] = {}
    for path in paths:
        for branch in (*path.feed, *path.back):
            if branch.id in known:
                by_branch.setdefault(branch.id, []).append(path)
    return {
        name: _load(vehicle, opener, by_branch, solved, charging_a, cranking)
        for name, opener in every.items()
    }


def _load(
    vehicle: Vehicle,
    opener: Opener,
    by_branch: Mapping[str, list[LoadPath]],
    solved: Solved,
    charging_a: Mapping[str, float],
    cranking: frozenset[str],
) -> FuseLoad:
    branches = opener.branches
    fed = [p for b in branches for p in by_branch.get(b, [])]
    amps = {s: max(_amps(solved, s, b) for b in branches) for s in solved.heating}
    amps = plus(amps, added_to_fuse_a(fed))
    starts = {p.state for p in fed if vehicle.devices[p.load.device].kind == "starter"}
    timed = starts & cranking
    lasting = {s: a for s, a in amps.items() if s not in timed}
    state = max(lasting, key=lambda s: lasting[s], default="")
    current_a = lasting.get(state, 0.0)
    charge_a = max(charging_a.get(b, 0.0) for b in branches)
    if charge_a > current_a:
        current_a, state = charge_a, FLAT_BATTERY
    surge = _inrush_together if opener.switches else _inrush
    surge_a, surge_s, surge_load = surge(fed, amps)
    return FuseLoad(
        current_a,
        state,
        surge_a,
        surge_s,
        surge_load,
        tuple(dict.fromkeys(p.load.id for p in fed)),
        max((amps[s] for s in timed), default=0.0),
        air_c(vehicle, vehicle.devices[opener.device].point),
    )


def _amps(solved: Solved, state: str, branch: str) -> float:
    """Root mean square or average, whichever is more: both wear a fuse."""
    both = solved.heating[state], solved.meter[state]
    return max(abs(x.current_a.get(branch, 0.0)) for x in both)


def _inrush(fed: list[LoadPath], amps: Mapping[str, float]) -> tuple[float, float, str]:
    """The hardest inrush behind a fuse on top of its other loads: amps, seconds, load id.

    A starter's own is part of its cranking.
    """
    surges = [
        (amps[p.state] - p.current_a + p.load.inrush_a, p.load.inrush_s, p.load.id)
        for p in fed
        if p.load.inrush_a > 0
    ]
    return max(surges, key=lambda s: (s[0] ** 2 * s[1], s[2]), default=(0.0, 0.0, ""))


def _inrush_together(fed: list[LoadPath], amps: Mapping[str, float]) -> tuple[float, float, str]:
    """The hardest inrush through an output: what it switches on, it switches on at once.

    As of `_inrush`; several loads are named one after the other.
    """
    by_state: dict[str, list[LoadPath]] = {}
    for path in fed:
        if path.load.inrush_a > 0:
            by_state.setdefault(path.state, []).append(path)
    surges = [
        (
            amps[state] + fsum(p.load.inrush_a - p.current_a for p in paths),
            max(p.load.inrush_s for p in paths),
            all_of(sorted(p.load.id for p in paths)),
        )
        for state, paths in by_state.items()
    ]
    return max(surges, key=lambda s: (s[0] ** 2 * s[1], s[2]), default=(0.0, 0.0, ""))


def air_c(vehicle: Vehicle, point: str) -> float:
    """Air round a device: the hottest zone of the rope that ends at its point."""
    zones = vehicle.description.zones
    return max((zones[r.zone].ambient for r in vehicle.runs_at(point)), default=UNKNOWN_C)
