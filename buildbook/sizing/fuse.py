"""Fuses: which wires each protects, the rating its load needs, and what a wire can stand."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import takewhile

from buildbook.catalogue.model import FuseFamily
from buildbook.electrical.model import Branch, Solution
from buildbook.harness.model import Harness
from buildbook.sizing.ampacity import overload_a
from buildbook.sizing.path import LoadPath
from buildbook.sizing.place import Candidate
from buildbook.vehicle.model import Vehicle

LONG_OVERLOAD_C = 25.0
SHORT_OVERLOAD_C = 50.0
"""Above the rated temperature: aged 240 h, and 6 h, without harm (ISO 6722, from memory)."""
NEVER_S = 1e6


@dataclass(frozen=True)
class FuseLoad:
    """The largest heating current of a fuse, and its hardest inrush (amps, seconds)."""

    current_a: float
    state: str
    inrush_a: float
    inrush_s: float
    inrush_load: str
    feeds: tuple[str, ...]


def stand_a(candidate: Candidate, ambient_c: float, fuse: FuseFamily) -> float:
    """Largest fuse rating that opens, anywhere in its band, before the insulation is harmed.

    At each multiple the fuse may take its longest time; at the one it may hold for ever, the
    wire must too. One overloaded wire among cool ones sheds heat at least as well as alone.
    """
    rated = candidate.family.rated_c
    found = math.inf
    for multiple, _shortest, longest in fuse.bands:
        above = LONG_OVERLOAD_C if longest is None else SHORT_OVERLOAD_C
        amps = overload_a(candidate.conductor, rated + above, ambient_c, longest or NEVER_S)
        found = min(found, amps / multiple)
    return found


def survives_s(fuse: FuseFamily, rating_a: float, current_a: float) -> float:
    """Shortest time in which the fuse may open, seconds; log-log between its bands."""
    multiple = current_a / rating_a
    bands = fuse.bands
    if multiple <= bands[0][0]:
        return math.inf
    for (low, low_s, _), (high, high_s, _) in zip(bands, bands[1:], strict=False):
        if multiple <= high:
            part = math.log(multiple / low) / math.log(high / low)
            return low_s * (high_s / low_s) ** part
    last = bands[-1]
    return last[1] * (last[0] / multiple) ** 2


def needed_rating_a(fuse: FuseFamily, load: FuseLoad) -> float:
    """Smallest standard rating for the load and its inrush; the largest where none will do."""
    for rating in fuse.ratings_a:
        if load.current_a <= fuse.continuous_share * rating + 1e-9 and (
            load.inrush_a <= 0 or survives_s(fuse, rating, load.inrush_a) > load.inrush_s
        ):
            return rating
    return fuse.ratings_a[-1]


def fuse_loads(
    vehicle: Vehicle,
    paths: Iterable[LoadPath],
    solutions: Mapping[str, Solution],
    charging_a: Mapping[str, float] | None = None,
) -> dict[str, FuseLoad]:
    """What every fuse carries, by fuse device id.

    `charging_a` is the least to allow for in each branch on the way from alternator to battery.
    """
    charging_a = charging_a or {}
    paths = list(paths)
    found = {}
    for device in vehicle.all_of("fuse"):
        bonds = [f"fuse:{b.id}" for b in device.bonds if b.kind == "fuse"]
        amps = {
            s: max((abs(x.current_a.get(b, 0.0)) for b in bonds), default=0.0)
            for s, x in solutions.items()
        }
        state = max(amps, key=lambda s: amps[s], default="")
        fed = [p for p in paths if any(b.id in bonds for b in p.feed)]
        surge, load = max(
            ((amps[p.state] - p.current_a + p.load.inrush_a, p.load) for p in fed
             if p.load.inrush_a > 0),
            default=(0.0, None), key=lambda pair: pair[0],
        )  # fmt: skip
        found[device.id] = FuseLoad(
            max(amps.get(state, 0.0), *(charging_a.get(b, 0.0) for b in bonds), 0.0),
            state,
            surge,
            load.inrush_s if load else 0.0,
            load.id if load else "",
            tuple(dict.fromkeys(p.load.id for p in fed)),
        )
    return found


def protectors(
    vehicle: Vehicle,
    harness: Harness,
    paths: Iterable[LoadPath],
    solutions: Mapping[str, Solution],
) -> dict[str, frozenset[str]]:
    """Fuses of which one stands before each wire; empty where a current reaches it unfused.

    A feed has the next fuse towards the supply. A return has that of the load it serves, as far
    as the chassis: what leads on from there to the battery serves all loads at once. A sensor
    whose supply limits its own current asks nothing of the return that it shares.
    """
    fuse_of = {b.id: d.id for d in vehicle.all_of("fuse") for b in d.bonds if b.kind == "fuse"}
    found: dict[str, set[str]] = {}
    bare: set[str] = set()
    for path in paths:
        waiting: list[str] = []
        first = ""
        for branch in path.feed:
            if branch.kind == "fuse":
                fuse = fuse_of[branch.ref]
                first = first or fuse
                for wire in waiting:
                    found.setdefault(wire, set()).add(fuse)
                waiting = []
            elif branch.kind == "wire":
                waiting.append(branch.ref)
        bare.update(waiting)
        own = takewhile(lambda b: b.kind != "ground", path.back)
        returns = [b.ref for b in own if b.kind == "wire"]
        whole = [b.ref for b in path.back if b.kind == "wire"]
        bare.update(whole[len(returns) :])
        for wire in returns:
            if first:
                found.setdefault(wire, set()).add(first)
        if not first and not path.source.startswith("source:"):
            bare.update(returns)
    _from_still_wires(vehicle, harness, solutions, found, bare)
    return {w: frozenset() if w in bare else frozenset(found.get(w, ())) for w in harness.wires}


def _from_still_wires(
    vehicle: Vehicle,
    harness: Harness,
    solutions: Mapping[str, Solution],
    found: dict[str, set[str]],
    bare: set[str],
) -> None:
    """Wires on no load's path: the fuse whose output reaches them without passing a load."""
    branches: dict[str, Branch] = {}
    for solution in solutions.values():
        branches.update(solution.branches)
    joined: dict[str, list[str]] = {}
    for branch in branches.values():
        if branch.kind in ("wire", "pin", "contact", "bus"):
            joined.setdefault(branch.a, []).append(branch.b)
            joined.setdefault(branch.b, []).append(branch.a)
    for device in vehicle.all_of("fuse"):
        reached: set[str] = set()
        ahead = [f"{b.to_pin}~" for b in device.bonds if b.kind == "fuse"]
        while ahead:
            node = ahead.pop()
            if node not in reached and node != "chassis":
                reached.add(node)
                ahead += joined.get(node, [])
        for wire in harness.wires.values():
            if wire.a.node in reached and wire.id not in bare and wire.id not in found:
                found[wire.id] = {device.id}
