"""Writes down what was chosen: for each wire and fuse the limits, the factors, what governed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from buildbook.electrical.model import Solution, Solved
from buildbook.harness.model import Harness
from buildbook.sizing.adiabatic import k_factor, withstand_s
from buildbook.sizing.carriers import carriers
from buildbook.sizing.carry import carries, crank_allowed_a, heat_of
from buildbook.sizing.drop import Worst, worst_paths
from buildbook.sizing.fuse import derating, load_rating_a, needed_rating_a
from buildbook.sizing.heat import heat_w_per_m
from buildbook.sizing.look import Round
from buildbook.sizing.model import FuseSizing, Part, Sizing, Way, WireSizing, WireWorking
from buildbook.sizing.needs import Needs, behind_a, family_of, guards, near_short_a, selectivity
from buildbook.sizing.ohms import joints_ohm
from buildbook.sizing.place import Candidate, Place
from buildbook.sizing.reasons import (
    FuseFacts,
    Guarded,
    WireFacts,
    fuse_limits,
    governing,
    wire_limits,
)
from buildbook.sizing.stand import outlasts, stand
from buildbook.vehicle.model import Vehicle


@dataclass(frozen=True)
class Chosen:
    """Where the repetition came to rest."""

    wires: Mapping[str, Candidate]
    ratings: Mapping[str, float]
    warm: Mapping[str, float]
    needs: Mapping[str, Needs]


def record(
    vehicle: Vehicle,
    harness: Harness,
    where: Mapping[str, Place],
    found: Round,
    chosen: Chosen,
    rounds: int,
) -> Sizing:
    """Every wire, fuse and other carrier with its limits."""
    worst = worst_paths(found.paths, _volts(where, found.solved.heating))
    wires: dict[str, WireSizing] = {}
    stands: dict[str, list[tuple[float, str]]] = {}
    for wire, place in where.items():
        guarded = _guarded(vehicle, place, found, chosen)
        for one in guarded:
            stands.setdefault(one.fuse, []).append((one.stand.rating_a, wire))
        hardest = max(
            guarded, key=lambda g: (g.rating_a / max(g.stand.rating_a, 1e-9), g.fuse), default=None
        )
        facts = _facts(vehicle, place, found, chosen, worst.get(wire), hardest)
        wires[wire] = _wire(facts, found, chosen)
    fuses = {
        fuse: _fuse(vehicle, fuse, found, chosen.ratings, min(stands.get(fuse, [(0.0, "")])))
        for fuse in found.fuse_loads
    }
    areas = {wire: sized.area_mm2 for wire, sized in wires.items()}
    others = carriers(vehicle, harness, found.solved, areas)
    return Sizing(wires, fuses, rounds, others, _ways(found, worst))


def _volts(
    where: Mapping[str, Place], solutions: Mapping[str, Solution]
) -> dict[str, dict[str, float]]:
    """Volts along every wire: state -> wire -> volts."""
    return {
        s: {w: x.across(p.wire.a.node, p.wire.b.node) for w, p in where.items()}
        for s, x in solutions.items()
    }


def _ways(found: Round, worst: Mapping[str, Worst]) -> tuple[Way, ...]:
    """The ways that some wire quotes, in the order of loads and states."""
    quoted = {(w.load, w.state) for w in worst.values()}
    ways = []
    for path in found.paths:
        if (path.load.id, path.state) in quoted:
            amps = found.solved.heating[path.state].current_a
            parts = tuple(
                Part(b.kind, b.ref, abs(amps[b.id]) * b.ohms)
                for b in path.counted
                if b.kind != "source"
            )
            ways.append(
                Way(
                    path.load.id,
                    path.state,
                    path.kind,
                    path.allowed_v,
                    path.wire_allowance_v,
                    parts,
                )
            )
    return tuple(ways)


def _guarded(vehicle: Vehicle, place: Place, found: Round, chosen: Chosen) -> list[Guarded]:
    """What the wire stands of each fuse before it: of any short, or else of the one there."""
    wire = place.wire.id
    candidate = chosen.wires[wire]
    heat = heat_of(place, candidate, found.demands[wire].steady_a, found.site)
    rows = []
    for guard in guards(vehicle, found, place, chosen.ratings):
        any_short = outlasts(candidate, heat, guard.family, guard.rating_a)
        limit = (guard.short_a,) if not any_short else ()
        rows.append(
            Guarded(
                guard.fuse,
                guard.family,
                guard.rating_a,
                guard.short_a,
                stand(candidate, heat, guard.family, *limit),
            )
        )
    return rows


def _facts(
    vehicle: Vehicle,
    place: Place,
    found: Round,
    chosen: Chosen,
    worst: Worst | None,
    guarded: Guarded | None,
) -> WireFacts:
    candidate, demand = chosen.wires[place.wire.id], found.demands[place.wire.id]
    return WireFacts(
        place,
        candidate,
        demand.steady_a,
        carries(place, candidate, found.site),
        demand.crank_a,
        crank_allowed_a(place, candidate),
        heat_of(place, candidate, demand.steady_a, found.site),
        worst,
        guarded,
        vehicle.description.vehicle.wire.smallest,
    )


def _wire(facts: WireFacts, found: Round, chosen: Chosen) -> WireSizing:
    place, candidate = facts.place, facts.chosen
    wire = place.wire.id
    demand, needs = found.demands[wire], chosen.needs[wire]
    pinned = place.pinned is not None
    drop_v, drop_a, state = _largest_drop(found.solved, place)
    return WireSizing(
        wire,
        candidate.family.id,
        candidate.label,
        candidate.area_mm2,
        demand.current_a,
        demand.state,
        drop_v,
        chosen.warm[wire],
        place.ambient_c,
        place.bundle_count,
        wire_limits(facts, needs),
        governing(needs, place.pinned_by if pinned else ""),
        facts.guarded.fuse if facts.guarded else "",
        pinned,
        replace(_working(facts, near_short_a(found, place)), drop_a=drop_a, state=state),
    )


def _largest_drop(solved: Solved, place: Place) -> tuple[float, float, str]:
    """The most that a wire loses in any state, the current that does it, and the state."""
    wire, found = place.wire, (0.0, 0.0, "")
    for state, heating in solved.heating.items():
        for solution in (heating, solved.meter[state]):
            volts = abs(solution.across(wire.a.node, wire.b.node))
            if volts > found[0]:
                found = (volts, abs(solution.current_a[f"wire:{wire.id}"]), state)
    return found


def _working(facts: WireFacts, near_a: float) -> WireWorking:
    piece, guarded, worst = facts.carries, facts.guarded, facts.worst
    k = k_factor(facts.heat.start_c, facts.chosen.family.short_circuit_c)
    harms_s = withstand_s(facts.chosen.conductor.copper_mm2, k, near_a)
    return WireWorking(
        length_m=facts.place.wire.cut_m,
        ohm_per_m_20c=facts.chosen.conductor.ohm_per_m_20c,
        joints_ohm=joints_ohm(facts.place.wire),
        steady_a=facts.steady_a,
        crank_a=facts.crank_a,
        drop_a=0.0,
        state="",
        heat_c=piece.ambient_c,
        heat_count=piece.count,
        loaded_share=piece.share,
        shed_w_per_m=heat_w_per_m(
            facts.chosen.conductor, facts.chosen.family.rated_c, piece.ambient_c
        ),
        free_air_a=piece.free_air_a,
        bundle_factor=piece.bundle_factor,
        altitude_factor=piece.altitude_factor,
        drop_load=worst.load if worst else "",
        drop_state=worst.state if worst else "",
        short_a=guarded.short_a if guarded else near_a,
        short_harms_s=math.inf if guarded else harms_s,
        start_c=facts.heat.start_c,
        fuse_multiple=guarded.stand.multiple if guarded else 0.0,
        fuse_opens_s=guarded.stand.opens_s if guarded else 0.0,
    )


def _fuse(
    vehicle: Vehicle,
    fuse: str,
    found: Round,
    ratings: Mapping[str, float],
    weakest: tuple[float, str],
) -> FuseSizing:
    written, family = vehicle.devices[fuse].written, family_of(vehicle, fuse)
    load, rating = found.fuse_loads[fuse], ratings[fuse]
    judged = selectivity(vehicle, found, fuse, ratings)
    short_a = behind_a(vehicle, found, fuse)
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


def _governing(facts: FuseFacts, pinned: bool) -> str:
    """author; else the load, or what asked for more: inrush and cranking, or the fuses below."""
    if pinned:
        return "author"
    if facts.rating_a > needed_rating_a(facts.family, facts.load):
        return "selective"
    return "inrush" if facts.rating_a > load_rating_a(facts.family, facts.load) else "load"
