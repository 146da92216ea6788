"""Chooses every wire and fuse: sizes and currents depend on each other, so it repeats."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from buildbook.electrical.model import Solved
from buildbook.electrical.solve import Solver
from buildbook.harness.model import Harness
from buildbook.sizing.fuse_rating import pinned_ratings, rate_fuses
from buildbook.sizing.installation import Candidate, Installation, installations
from buildbook.sizing.installed_ampacity import warm_c
from buildbook.sizing.loading import loading_of
from buildbook.sizing.model import Sizing
from buildbook.sizing.resistance import fuse_ohms, one_wire_ohms
from buildbook.sizing.summary import Chosen, summarise
from buildbook.sizing.wire_size import size_wires
from buildbook.vehicle.model import Vehicle

MOST_ROUNDS = 12
ONLY_UP_AFTER = 3
"""Rounds from a mere guess in which a size may still fall."""
FIRST_GUESS_MM2 = 6.0
FIRST_GUESS_A = 10.0
SAME_C = 0.1
"""Copper temperatures nearer than this to the last round's have come to rest."""


def choose(
    vehicle: Vehicle,
    harness: Harness,
    begin: Sizing | None = None,
    only_up_after: int = ONLY_UP_AFTER,
) -> tuple[Sizing, Solved]:
    """Sizes of all wires, ratings of all fuses, and the solutions that they lead to.

    Solves, sizes from the currents, and solves again until nothing changes; `rounds` says how
    often. It starts at the sizes of `begin`, those of a harness much like this one; after so many
    rounds sizes only grow, and the catalogue has a thickest. Where it is stopped at `MOST_ROUNDS`
    before that, `unsettled` names what still changed, and a check tells it.
    """
    where = installations(vehicle, harness)
    solver = Solver(vehicle, harness)
    sizes, ratings, warm = _first_guess(vehicle, where, begin)
    for number in range(1, MOST_ROUNDS + 1):
        made_of = {w: _chosen(p, sizes[w]) for w, p in where.items()}
        ohms = {w: one_wire_ohms(p.wire, made_of[w].conductor, warm[w]) for w, p in where.items()}
        solved = solver.solve(ohms, fuse_ohms(vehicle, ratings))
        loading = loading_of(vehicle, harness, solved, made_of)
        new_ratings = rate_fuses(vehicle, where, loading)
        if number > only_up_after:
            new_ratings = {f: max(r, ratings[f]) for f, r in new_ratings.items()}
        new_sizes, needs = size_wires(
            vehicle, where, loading, new_ratings, warm, sizes, number > only_up_after
        )
        new_warm = {
            w: warm_c(p, _chosen(p, new_sizes[w]), loading.wire_loads[w].steady_a, loading.site)
            for w, p in where.items()
        }
        unsettled = (
            *(f for f in ratings if new_ratings[f] != ratings[f]),
            *(w for w in where if new_sizes[w] != sizes[w] or abs(new_warm[w] - warm[w]) >= SAME_C),
        )
        if not unsettled or number == MOST_ROUNDS:
            break
        sizes, ratings, warm = new_sizes, new_ratings, new_warm
    chosen = Chosen(made_of, ratings, warm, needs)
    sizing = summarise(vehicle, harness, where, loading, chosen, number)
    return replace(sizing, unsettled=unsettled), solved


def _first_guess(
    vehicle: Vehicle, where: Mapping[str, Installation], begin: Sizing | None
) -> tuple[dict[str, int], dict[str, float], dict[str, float]]:
    """Sizes, ratings and copper temperatures to begin with."""
    ratings = {fuse.id: FIRST_GUESS_A for fuse in vehicle.all_of("fuse")} | pinned_ratings(vehicle)
    sizes, warm = {}, {}
    for wire, installation in where.items():
        known = begin.wires.get(wire) if begin else None
        sizes[wire] = installation.at_least(known.area_mm2 if known else FIRST_GUESS_MM2)
        warm[wire] = known.conductor_c if known else installation.ambient_c
    if begin:
        ratings |= {f: begin.fuses[f].rating_a for f in ratings if f in begin.fuses}
    return sizes, ratings, warm


def _chosen(installation: Installation, size: int) -> Candidate:
    return installation.pinned or installation.candidates[size]
