"""Writes down what was chosen: for each wire and fuse the limits, the factors, what governed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from buildbook.harness.model import Harness
from buildbook.sizing.fuse_rating import (
    behind_a,
    derating,
    load_rating_a,
    needed_rating_a,
    selectivity_of,
)
from buildbook.sizing.heat_balance import heat_w_per_m
from buildbook.sizing.installation import Candidate, Installation
from buildbook.sizing.installed_ampacity import crank_allowed_a, installed_ampacity, temperatures_of
from buildbook.sizing.limits import (
    FuseFacts,
    FuseProtection,
    WireFacts,
    fuse_limits,
    governing,
    wire_limits,
)
from buildbook.sizing.loading import Loading
from buildbook.sizing.model import (
    FuseSizing,
    OutputSizing,
    PathDrop,
    PathPart,
    Sizing,
    WireSizing,
    WireWorking,
)
from buildbook.sizing.openers import family_of, tripping
from buildbook.sizing.opening_time import surely_opens_a
from buildbook.sizing.overcurrent import largest_fuse, outlasts
from buildbook.sizing.rated_parts import rated_parts
from buildbook.sizing.resistance import joints_ohm
from buildbook.sizing.short_circuit_withstand import k_factor, withstand_s
from buildbook.sizing.unfused import near_short_a, unfused_short_a
from buildbook.sizing.voltage_drop import WorstPath, largest_drop, worst_paths
from buildbook.sizing.wire_size import SizeByLimit, fuses_before
from buildbook.vehicle.model import Vehicle


@dataclass(frozen=True)
class Chosen:
    """Where the repetition came to rest."""

    wires: Mapping[str, Candidate]
    ratings: Mapping[str, float]
    warm: Mapping[str, float]
    needs: Mapping[str, SizeByLimit]


def summarise(
    vehicle: Vehicle,
    harness: Harness,
    where: Mapping[str, Installation],
    loading: Loading,
    chosen: Chosen,
    rounds: int,
) -> Sizing:
    """Every wire, fuse and other carrier with its limits."""
    worst = worst_paths(loading.ways)
    wires: dict[str, WireSizing] = {}
    stands: dict[str, list[tuple[float, str]]] = {}
    for wire, installation in where.items():
        protection = _protection(vehicle, installation, loading, chosen)
        for one in protection:
            stands.setdefault(one.fuse, []).append((one.largest_fuse.rating_a, wire))
        hardest = max(
            protection,
            key=lambda g: (g.rating_a / max(g.largest_fuse.rating_a, 1e-9), g.fuse),
            default=None,
        )
        facts = _facts(vehicle, installation, loading, chosen, worst.get(wire), hardest)
        wires[wire] = _wire(facts, loading, chosen)
    fuses = {
        fuse: _fuse(vehicle, fuse, loading, chosen.ratings, min(stands.get(fuse, [(0.0, "")])))
        for fuse in loading.fuse_loads
        if fuse in vehicle.devices
    }
    outputs = {
        output: _output(vehicle, output, loading, chosen.ratings, stands.get(output, []))
        for output in loading.fuse_loads
        if output not in vehicle.devices
    }
    areas = {wire: sized.area_mm2 for wire, sized in wires.items()}
    others = rated_parts(vehicle, harness, loading.solved, areas)
    return Sizing(wires, fuses, rounds, others, _path_drops(loading, worst), outputs)


def _path_drops(loading: Loading, worst: Mapping[str, WorstPath]) -> tuple[PathDrop, ...]:
    """The ways that some wire quotes, in the order of loads and states."""
    quoted = {(w.load, w.state) for w in worst.values()}
    path_drops = []
    for path in loading.ways:
        if (path.load.id, path.state) in quoted:
            parts = tuple(
                PathPart(b.kind, b.ref, abs(path.amps[b.id]) * b.on_ohms)
                for b in path.counted
                if b.kind != "source"
            )
            path_drops.append(
                PathDrop(
                    path.load.id,
                    path.state,
                    path.kind,
                    path.allowed_v,
                    parts,
                )
            )
    return tuple(path_drops)


def _protection(
    vehicle: Vehicle, installation: Installation, loading: Loading, chosen: Chosen
) -> list[FuseProtection]:
    """What the wire stands of each fuse before it: of any short, or else of the one there."""
    wire = installation.wire.id
    candidate = chosen.wires[wire]
    temperatures = temperatures_of(
        installation, candidate, loading.wire_loads[wire].steady_a, loading.site
    )
    rows = []
    for guard in fuses_before(vehicle, loading, installation, chosen.ratings):
        any_short = outlasts(candidate, temperatures, guard.family, guard.rating_a)
        limit = (guard.short_a,) if not any_short else ()
        rows.append(
            FuseProtection(
                guard.fuse,
                guard.family,
                guard.rating_a,
                guard.short_a,
                largest_fuse(candidate, temperatures, guard.family, *limit),
            )
        )
    return rows


def _facts(
    vehicle: Vehicle,
    installation: Installation,
    loading: Loading,
    chosen: Chosen,
    worst: WorstPath | None,
    protection: FuseProtection | None,
) -> WireFacts:
    candidate, demand = chosen.wires[installation.wire.id], loading.wire_loads[installation.wire.id]
    return WireFacts(
        installation,
        candidate,
        demand.steady_a,
        installed_ampacity(installation, candidate, loading.site),
        demand.crank_a,
        crank_allowed_a(installation, candidate),
        temperatures_of(installation, candidate, demand.steady_a, loading.site),
        worst,
        protection,
        vehicle.description.vehicle.wire.smallest,
        unfused_short_a(loading, installation),
        installation.wire.id in loading.switched,
    )


def _wire(facts: WireFacts, loading: Loading, chosen: Chosen) -> WireSizing:
    installation, candidate = facts.installation, facts.chosen
    wire = installation.wire.id
    demand, needs = loading.wire_loads[wire], chosen.needs[wire]
    pinned = installation.pinned is not None
    drop_v, drop_a, state = largest_drop(loading.solved, installation)
    return WireSizing(
        wire,
        candidate.family.id,
        candidate.label,
        candidate.area_mm2,
        demand.current_a,
        demand.state,
        drop_v,
        chosen.warm[wire],
        installation.ambient_c,
        installation.bundle_count,
        wire_limits(facts, needs),
        governing(needs, installation.pinned_by if pinned else ""),
        facts.protection.fuse if facts.protection else "",
        pinned,
        replace(_working(facts, near_short_a(loading, installation)), drop_a=drop_a, state=state),
    )


def _working(facts: WireFacts, near_a: float) -> WireWorking:
    ampacity, protection, worst = facts.ampacity, facts.protection, facts.worst
    k = k_factor(facts.temperatures.start_c, facts.chosen.family.short_circuit_c)
    harms_s = withstand_s(facts.chosen.conductor.copper_mm2, k, near_a)
    return WireWorking(
        length_m=facts.installation.wire.cut_m,
        ohm_per_m_20c=facts.chosen.conductor.ohm_per_m_20c,
        joints_ohm=joints_ohm(facts.installation.wire),
        steady_a=facts.steady_a,
        crank_a=facts.crank_a,
        drop_a=0.0,
        state="",
        heat_c=ampacity.ambient_c,
        heat_count=ampacity.count,
        loaded_share=ampacity.share,
        shed_w_per_m=heat_w_per_m(
            facts.chosen.conductor, facts.chosen.family.rated_c, ampacity.ambient_c
        ),
        free_air_a=ampacity.free_air_a,
        bundle_factor=ampacity.bundle_factor,
        altitude_factor=ampacity.altitude_factor,
        drop_load=worst.load if worst else "",
        drop_state=worst.state if worst else "",
        short_a=protection.short_a if protection else near_a,
        short_harms_s=math.inf if protection else harms_s,
        start_c=facts.temperatures.start_c,
        fuse_multiple=protection.largest_fuse.multiple if protection else 0.0,
        fuse_opens_s=protection.largest_fuse.opens_s if protection else 0.0,
    )


def _fuse(
    vehicle: Vehicle,
    fuse: str,
    loading: Loading,
    ratings: Mapping[str, float],
    weakest: tuple[float, str],
) -> FuseSizing:
    written, family = vehicle.devices[fuse].written, family_of(vehicle, fuse)
    load, rating = loading.fuse_loads[fuse], ratings[fuse]
    judged = selectivity_of(vehicle, loading, fuse, ratings)
    short_a = behind_a(vehicle, loading, fuse)
    facts = FuseFacts(family, load, rating, *weakest, short_a, judged)
    return FuseSizing(
        fuse,
        rating,
        load.current_a,
        load.state,
        weakest[1],
        weakest[0],
        fuse_limits(facts),
        _governing(facts, written.rating is not None),
        family.colours.get(rating, ""),
        load.feeds,
        written.rating is not None,
        load.ambient_c,
        derating(family, load.ambient_c),
        short_a,
        judged,
    )


def _output(
    vehicle: Vehicle,
    output: str,
    loading: Loading,
    ratings: Mapping[str, float],
    stands: list[tuple[float, str]],
) -> OutputSizing:
    contact, family = tripping(vehicle)[output], family_of(vehicle, output)
    load = loading.fuse_loads[output]
    weakest = min(stands, default=(0.0, ""))
    judged = selectivity_of(vehicle, loading, output, ratings)
    short_a = behind_a(vehicle, loading, output)
    facts = FuseFacts(family, load, ratings[output], *weakest, short_a, judged)
    return OutputSizing(
        output,
        contact.device,
        ratings[output],
        contact.trips,
        load.current_a,
        load.state,
        weakest[1],
        surely_opens_a(family, weakest[0]),
        fuse_limits(facts),
        load.feeds,
        short_a,
        judged,
    )


def _governing(facts: FuseFacts, pinned: bool) -> str:
    """author; else the load, or what asked for more: inrush and cranking, or the fuses below."""
    if pinned:
        return "author"
    if facts.rating_a > needed_rating_a(facts.family, facts.load):
        return "selective"
    return "inrush" if facts.rating_a > load_rating_a(facts.family, facts.load) else "load"
