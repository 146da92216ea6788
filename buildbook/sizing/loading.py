"""What one solution of the network asks of every wire and fuse."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from buildbook.electrical.model import Solved
from buildbook.harness.model import Harness
from buildbook.sizing.ampacity import free_air_a
from buildbook.sizing.fuse_load import FuseLoad, fuse_loads
from buildbook.sizing.installation import Candidate
from buildbook.sizing.installed_ampacity import Site, share_in_use
from buildbook.sizing.load_paths import (
    FLAT_BATTERY,
    LoadPath,
    charging_branches,
    charging_path,
    cranking_states,
    load_paths,
)
from buildbook.sizing.protection import protection_of
from buildbook.sizing.selectivity import pairs
from buildbook.sizing.short_circuit_current import ShortCircuits, short_circuits
from buildbook.sizing.slow_pulses import added_to_wire_a, plus
from buildbook.vehicle.model import Vehicle


@dataclass(frozen=True)
class WireLoad:
    """Amps that a wire has to carry: for ever, and while cranking; the largest and its state."""

    steady_a: float
    crank_a: float
    current_a: float
    state: str


@dataclass(frozen=True)
class Loading:
    """What one solution of the network asks for."""

    solved: Solved
    paths: tuple[LoadPath, ...]
    """Of the loads."""
    wire_loads: Mapping[str, WireLoad]
    fuse_loads: Mapping[str, FuseLoad]
    protected_by: Mapping[str, frozenset[str]]
    unfused_a: Mapping[str, float]
    """Amps that sources drive into a wire past every fuse: endless for a battery."""
    switched: frozenset[str]
    """Wires that an isolator parts from every battery."""
    returning: frozenset[str]
    """Wires from the body back to the batteries, where a short past every fuse returns."""
    below: Mapping[str, tuple[str, ...]]
    """Fuse device id -> the fuses next below it."""
    short_circuits: ShortCircuits
    site: Site
    ways: tuple[LoadPath, ...] = ()
    """All that may lose only so many volts: each load in each state, and the battery charging."""


def loading_of(
    vehicle: Vehicle, harness: Harness, solved: Solved, chosen: Mapping[str, Candidate]
) -> Loading:
    """Everything that sizing wants to know of a solution; `chosen` is what it was solved with."""
    heating = solved.heating
    paths = load_paths(vehicle, heating)
    cranking = cranking_states(vehicle, heating)
    charging = charging_branches(vehicle, heating)
    alternator = vehicle.supply.generator_data
    most_a = max((a for _rpm, a in alternator.curve), default=0.0) if alternator else 0.0
    charge_a = {w: most_a if f"wire:{w}" in charging else 0.0 for w in harness.wires}
    through: dict[str, list[LoadPath]] = {}
    for path in paths:
        for branch in (*path.feed, *path.back):
            if branch.kind == "wire":
                through.setdefault(branch.ref, []).append(path)
    below: dict[str, list[str]] = {}
    short = short_circuits(vehicle, heating.values())
    protection = protection_of(vehicle, harness, paths, heating)
    for lower, upper in sorted(pairs(vehicle, short)):
        below.setdefault(upper, []).append(lower)
    return Loading(
        solved,
        tuple(paths),
        {
            wire: _wire_load(
                solved,
                wire,
                cranking,
                charge_a[wire],
                protection.unfused_a[wire],
                added_to_wire_a(
                    through.get(wire, ()), chosen[wire].conductor, chosen[wire].family.rated_c
                ),
            )
            for wire in harness.wires
        },
        fuse_loads(vehicle, paths, solved, dict.fromkeys(charging, most_a), cranking),
        protection.fuses,
        protection.unfused_a,
        protection.switched,
        protection.returning,
        {upper: tuple(lowers) for upper, lowers in below.items()},
        short,
        _site(vehicle, harness, solved, chosen, charge_a),
        _ways(vehicle, solved, paths),
    )


def _ways(vehicle: Vehicle, solved: Solved, paths: list[LoadPath]) -> tuple[LoadPath, ...]:
    """The paths of the loads and that of charging.

    Where the averages charge the battery and what heats does not, or the other way about, the
    volts are others: there the harder of both counts.
    """
    unlike = {
        state: solution
        for state, solution in solved.meter.items()
        if (solution.charging_a > 0) != (solved.heating[state].charging_a > 0)
    }
    found = {(path.load.id, path.state): path for path in paths}
    for path in load_paths(vehicle, unlike) if unlike else ():
        known = found.get((path.load.id, path.state))
        if known is None or path.lost_v > known.lost_v:
            found[path.load.id, path.state] = path
    charging = charging_path(vehicle, solved.heating)
    return (*found.values(), charging) if charging else tuple(found.values())


def _site(
    vehicle: Vehicle,
    harness: Harness,
    solved: Solved,
    chosen: Mapping[str, Candidate],
    charge_a: Mapping[str, float],
) -> Site:
    """The share of every bundle's capacity in use, in the state in which it is most."""
    shares = {}
    for run in vehicle.runs:
        bundle = harness.bundles.get(run.id)
        if bundle is None:
            continue
        air_c = vehicle.description.zones[run.zone].ambient
        free_a = [
            free_air_a(chosen[w].conductor, chosen[w].family.rated_c, air_c) for w in bundle.wires
        ]
        shares[run.id] = max(
            share_in_use(
                (max(abs(x.current_a[f"wire:{w}"]), charge_a[w]) for w in bundle.wires), free_a
            )
            for x in solved.heating.values()
        )
    return Site(vehicle.description.vehicle.altitude, shares)


def _wire_load(
    solved: Solved,
    wire: str,
    cranking: frozenset[str],
    charge_a: float,
    unfused_a: float,
    slow_a: Mapping[str, float],
) -> WireLoad:
    """Root mean square or average, whichever is more; at least what charging sends through.

    `slow_a` are amps by state that pulses add which are too slow for the wire to average.
    A generator that no fuse parts from the wire may drive its whole output into a short of it for
    ever: what the wire has to carry is never less.
    """
    branch = f"wire:{wire}"
    amps = {
        s: max(abs(x.current_a[branch]), abs(solved.meter[s].current_a[branch]))
        for s, x in solved.heating.items()
    }
    amps = plus(amps, slow_a)
    steady = max((a for s, a in amps.items() if s not in cranking), default=0.0)
    crank = max((a for s, a in amps.items() if s in cranking), default=0.0)
    state = max(amps, key=lambda s: amps[s], default="")
    steady = max(steady, charge_a, unfused_a if math.isfinite(unfused_a) else 0.0)
    if charge_a > amps.get(state, 0.0):
        return WireLoad(steady, crank, charge_a, FLAT_BATTERY)
    return WireLoad(steady, crank, amps.get(state, 0.0), state)
