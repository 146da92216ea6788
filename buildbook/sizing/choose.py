"""Chooses every wire and fuse: sizes and currents depend on each other, so it repeats."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from buildbook.catalogue.load import fuse_families
from buildbook.catalogue.model import FuseFamily
from buildbook.electrical.model import Solved
from buildbook.electrical.solve import solve_states
from buildbook.harness.model import Harness
from buildbook.sizing.ampacity import ampacity_a, conductor_c, overload_a, resistance_ratio
from buildbook.sizing.drop import Worst, enlarge_for_drop, worst_paths
from buildbook.sizing.fuse import (
    FuseLoad,
    fuse_loads,
    needed_rating_a,
    protectors,
    stand_a,
)
from buildbook.sizing.model import FuseSizing, Limit, Sizing, WireSizing
from buildbook.sizing.path import LoadPath, charging_branches, cranking_states, load_paths
from buildbook.sizing.place import Candidate, Place, places
from buildbook.sizing.reasons import (
    WireFacts,
    fuse_limits,
    governing,
    wire_limits,
)
from buildbook.vehicle.model import Vehicle

MOST_ROUNDS = 12
ONLY_UP_AFTER = 4
"""From this round on a size may only grow, so that the repetition ends."""
FIRST_GUESS_MM2 = 6.0
FIRST_GUESS_A = 10.0
TOO_HOT_MARGIN_C = 15.0
CRANK_S = 30.0
"""Longest time that a starter is held; its cables are sized for that, not for ever."""


@dataclass(frozen=True)
class Demand:
    """Amps that a wire has to carry: for ever, and while cranking; the largest and its state."""

    steady_a: float
    crank_a: float
    current_a: float
    state: str


@dataclass(frozen=True)
class Round:
    """What one solution of the network asks for."""

    solved: Solved
    paths: list[LoadPath]
    demands: dict[str, Demand]
    fuse_loads: dict[str, FuseLoad]
    protected_by: dict[str, frozenset[str]]


def choose(vehicle: Vehicle, harness: Harness) -> tuple[Sizing, Solved]:
    """Sizes of all wires, ratings of all fuses, and the solutions that they lead to.

    Solves, sizes from the currents, and solves again until nothing changes; `rounds` says how
    often, and equals `MOST_ROUNDS` where it was stopped.
    """
    where = places(vehicle, harness)
    sizes = {w: p.at_least(FIRST_GUESS_MM2) for w, p in where.items()}
    ratings = {d.id: d.written.rating or FIRST_GUESS_A for d in vehicle.all_of("fuse")}
    warm = {w: p.ambient_c for w, p in where.items()}
    for number in range(1, MOST_ROUNDS + 1):
        solved = _solve(vehicle, harness, where, sizes, ratings, warm)
        found = _look(vehicle, harness, solved)
        new_ratings = _ratings(vehicle, found)
        new_sizes, base = _sizes(vehicle, where, found, new_ratings, warm)
        if number > ONLY_UP_AFTER:
            new_sizes = {w: max(s, sizes[w]) for w, s in new_sizes.items()}
            new_ratings = {f: max(r, ratings[f]) for f, r in new_ratings.items()}
        new_warm = _warm(vehicle, where, new_sizes, found.demands)
        settled = (new_sizes, new_ratings) == (sizes, ratings) and all(
            abs(new_warm[w] - warm[w]) < 1.0 for w in warm
        )
        if settled or number == MOST_ROUNDS:
            break
        sizes, ratings, warm = new_sizes, new_ratings, new_warm
    return _record(vehicle, where, found, sizes, base, ratings, warm, number), solved


def _chosen(place: Place, size: int) -> Candidate:
    return place.pinned or place.candidates[size]


def _solve(
    vehicle: Vehicle,
    harness: Harness,
    where: Mapping[str, Place],
    sizes: Mapping[str, int],
    ratings: Mapping[str, float],
    warm: Mapping[str, float],
) -> Solved:
    ohms = {
        w: _chosen(p, sizes[w]).conductor.ohm_per_m_20c * p.wire.cut_m * resistance_ratio(warm[w])
        for w, p in where.items()
    }
    links = {
        f: fuse_families()[vehicle.devices[f].written.fuse].ohms_at_1a / r
        for f, r in ratings.items()
    }
    return solve_states(vehicle, harness, ohms, links)


def _look(vehicle: Vehicle, harness: Harness, solved: Solved) -> Round:
    heating = solved.heating
    paths = load_paths(vehicle, heating)
    cranking = cranking_states(vehicle, heating)
    charging = charging_branches(heating)
    alternator = vehicle.description.supply.alternator
    full_a = max((a for _rpm, a in alternator.curve), default=0.0) if alternator else 0.0
    demands = {}
    for wire in harness.wires:
        amps = {s: abs(x.current_a[f"wire:{wire}"]) for s, x in heating.items()}
        steady = max((a for s, a in amps.items() if s not in cranking), default=0.0)
        crank = max((a for s, a in amps.items() if s in cranking), default=0.0)
        current, state = solved.wire_current(wire)
        if f"wire:{wire}" in charging:
            steady = max(steady, full_a)
        demands[wire] = Demand(steady, crank, max(current, steady), state)
    return Round(
        solved,
        paths,
        demands,
        fuse_loads(vehicle, paths, heating, dict.fromkeys(charging, full_a)),
        protectors(vehicle, harness, paths, heating),
    )


def _ratings(vehicle: Vehicle, found: Round) -> dict[str, float]:
    ratings = {}
    for fuse, load in found.fuse_loads.items():
        written = vehicle.devices[fuse].written
        family = fuse_families()[written.fuse]
        ratings[fuse] = written.rating or needed_rating_a(family, load)
    return ratings


def _protector(fuses: frozenset[str], ratings: Mapping[str, float]) -> str:
    """Of several fuses that can feed a wire, the one that lets most through."""
    return max(sorted(fuses), key=lambda f: ratings[f], default="")


def heat_allowed_a(vehicle: Vehicle, place: Place, candidate: Candidate) -> float:
    """Continuous amps of a candidate where the wire lies."""
    altitude = vehicle.description.vehicle.altitude
    return ampacity_a(
        candidate.conductor,
        candidate.family.rated_c,
        place.ambient_c,
        place.bundle_count,
        altitude,
    )


def crank_allowed_a(place: Place, candidate: Candidate) -> float:
    """Amps of a candidate that may flow for as long as a starter is held."""
    return overload_a(candidate.conductor, candidate.family.rated_c, place.ambient_c, CRANK_S)


def _sizes(
    vehicle: Vehicle,
    where: Mapping[str, Place],
    found: Round,
    ratings: Mapping[str, float],
    warm: Mapping[str, float],
) -> tuple[dict[str, int], dict[str, dict[str, int]]]:
    """Sizes that meet every limit, and for each wire what each limit alone would ask for."""
    base: dict[str, dict[str, int]] = {}
    least = vehicle.description.vehicle.wire.smallest.area_mm2
    for wire, place in where.items():
        demand = found.demands[wire]
        place = _sizing_place(place)
        fuse = _protector(found.protected_by[wire], ratings)
        needs = {
            "heat": _thinnest(
                place,
                lambda c, p=place, d=demand: (
                    heat_allowed_a(vehicle, p, c) >= d.steady_a
                    and crank_allowed_a(p, c) >= d.crank_a
                ),
            ),
            "terminal": place.at_least(place.least_mm2),
            "smallest": place.at_least(min(least, max(place.most_mm2, place.least_mm2))),
        }
        if fuse:
            family = fuse_families()[vehicle.devices[fuse].written.fuse]
            needs["fuse"] = _thinnest(
                place,
                lambda c, p=place, f=family, r=ratings[fuse]: stand_a(c, p.ambient_c, f) >= r,
            )
        base[wire] = needs
    sizes = {w: max(n.values()) for w, n in base.items()}
    currents = {
        s: {w: x.current_a[f"wire:{w}"] for w in where} for s, x in found.solved.heating.items()
    }
    ratios = {w: resistance_ratio(t) for w, t in warm.items()}
    grown = enlarge_for_drop(found.paths, where, sizes, currents, ratios)
    for wire, size in grown.items():
        if size > sizes[wire]:
            base[wire]["drop"] = size
    return grown, base


def _sizing_place(place: Place) -> Place:
    """The place, or where it is too hot for the insulation one that the current alone decides.

    No copper helps there: the wire is sized for its current, and its heat row tells the rest.
    """
    rated_c = place.candidates[0].family.rated_c
    if place.ambient_c < rated_c:
        return place
    return replace(place, ambient_c=rated_c - TOO_HOT_MARGIN_C)


def _thinnest(place: Place, fits: Callable[[Candidate], bool]) -> int:
    """Place of the thinnest candidate that fits, or of the thickest there is."""
    for i, candidate in enumerate(place.candidates):
        if fits(candidate):
            return i
    return len(place.candidates) - 1


def _warm(
    vehicle: Vehicle,
    where: Mapping[str, Place],
    sizes: Mapping[str, int],
    demands: Mapping[str, Demand],
) -> dict[str, float]:
    """Conductor temperatures at the continuous current, by wire."""
    found = {}
    for wire, place in where.items():
        candidate = _chosen(place, sizes[wire])
        allowed = heat_allowed_a(vehicle, place, candidate)
        found[wire] = conductor_c(
            demands[wire].steady_a, allowed, candidate.family.rated_c, place.ambient_c
        )
    return found


def _record(
    vehicle: Vehicle,
    where: Mapping[str, Place],
    found: Round,
    sizes: Mapping[str, int],
    base: Mapping[str, Mapping[str, int]],
    ratings: Mapping[str, float],
    warm: Mapping[str, float],
    rounds: int,
) -> Sizing:
    volts = {
        s: {w: x.across(p.wire.a.node, p.wire.b.node) for w, p in where.items()}
        for s, x in found.solved.heating.items()
    }
    worst = worst_paths(found.paths, volts)
    wires = {}
    stands: dict[str, list[tuple[float, str]]] = {}
    for wire, place in where.items():
        fuse = _protector(found.protected_by[wire], ratings)
        facts = _facts(vehicle, place, _chosen(place, sizes[wire]), found.demands[wire],
                       worst.get(wire), fuse, ratings.get(fuse, 0.0))  # fmt: skip
        if facts.stand_a is not None:
            stands.setdefault(fuse, []).append((facts.stand_a, wire))
        drop_v = max((abs(v[wire]) for v in volts.values()), default=0.0)
        wires[wire] = _wire_record(facts, base[wire], found.demands[wire], drop_v, warm[wire])
    fuses = {
        f: _fuse_record(vehicle, f, load, ratings[f], min(stands.get(f, [(0.0, "")])))
        for f, load in found.fuse_loads.items()
    }
    return Sizing(wires, fuses, rounds)


def _facts(
    vehicle: Vehicle,
    place: Place,
    candidate: Candidate,
    demand: Demand,
    worst: Worst | None,
    fuse: str,
    rating_a: float,
) -> WireFacts:
    family = fuse_families()[vehicle.devices[fuse].written.fuse] if fuse else None
    return WireFacts(
        place,
        candidate,
        demand.steady_a,
        heat_allowed_a(vehicle, place, candidate),
        demand.crank_a,
        crank_allowed_a(place, candidate),
        worst,
        fuse,
        rating_a,
        stand_a(candidate, place.ambient_c, family) if family else None,
        vehicle.description.vehicle.wire.smallest,
        family.source if family else "",
    )


def _wire_record(
    facts: WireFacts, needs: Mapping[str, int], demand: Demand, drop_v: float, warm_c: float
) -> WireSizing:
    place, candidate = facts.place, facts.chosen
    pinned = place.pinned is not None
    return WireSizing(
        place.wire.id,
        candidate.family.id,
        candidate.label,
        candidate.area_mm2,
        demand.current_a,
        demand.state,
        drop_v,
        warm_c,
        place.ambient_c,
        place.bundle_count,
        wire_limits(facts, needs),
        governing(needs, pinned),
        facts.fuse,
        pinned,
    )


def _fuse_record(
    vehicle: Vehicle, fuse: str, load: FuseLoad, rating: float, weakest: tuple[float, str]
) -> FuseSizing:
    written = vehicle.devices[fuse].written
    family = fuse_families()[written.fuse]
    limits: tuple[Limit, ...] = fuse_limits(family, load, rating, weakest)
    if written.rating is not None:
        reason = "author"
    else:
        reason = "inrush" if _inrush_governs(family, load, rating) else "load"
    return FuseSizing(
        fuse,
        rating,
        load.current_a,
        load.state,
        weakest[1],
        weakest[0],
        limits,
        reason,
        family.colours.get(rating, ""),
        load.feeds,
        written.rating is not None,
    )


def _inrush_governs(family: FuseFamily, load: FuseLoad, rating: float) -> bool:
    smaller = [r for r in family.ratings_a if r < rating]
    return bool(smaller) and load.current_a <= family.continuous_share * smaller[-1]
