"""What a conductor may carry where its wire lies: for ever, and while a starter turns."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from buildbook.sizing.altitude import altitude_factor
from buildbook.sizing.ampacity import conductor_c, free_air_a
from buildbook.sizing.bundle import bundle_factor, loaded_share
from buildbook.sizing.fuse import CRANK_S
from buildbook.sizing.heating import overload_a
from buildbook.sizing.place import Candidate, Place
from buildbook.sizing.stand import Heat

TOO_HOT_MARGIN_C = 15.0
"""Under the rated temperature, for wires whose zone is above it. Our choice."""
START_STEP_C = 5.0
"""Copper's temperature before a fault is taken up to the next whole step of these."""


LEAST_SHARE = 0.2
"""Share of a bundle's capacity taken as in use at the least: that of AC 43.13-1B, table 11-9."""
SHARE_STEP = 0.05
"""Shares are taken up to the next whole step of these, so that they come to rest."""


@dataclass(frozen=True)
class Site:
    """Height above the sea, and how much of each bundle's capacity is in use, by run id."""

    altitude_m: float = 0.0
    shares: Mapping[str, float] = field(default_factory=dict)

    def share(self, run: str) -> float:
        return self.shares.get(run, LEAST_SHARE)


def share_in_use(amps: Iterable[float], free_a: Iterable[float]) -> float:
    """Share of a bundle's capacity in use, taken up to a step and never under the least."""
    share = loaded_share(zip(amps, free_a, strict=True))
    stepped = SHARE_STEP * math.ceil(share / SHARE_STEP - 1e-6)
    return max(LEAST_SHARE, min(1.0, round(stepped, 2)))


@dataclass(frozen=True)
class Carries:
    """Continuous amps of a conductor and every factor in them, in the piece that decides."""

    allowed_a: float
    free_air_a: float
    bundle_factor: float
    altitude_factor: float
    ambient_c: float
    count: int
    share: float


def carries(place: Place, candidate: Candidate, site: Site) -> Carries:
    """Free-air current times bundle and altitude factors, in the piece of rope of the least."""
    thin_air = altitude_factor(site.altitude_m)
    found = []
    for piece in place.surroundings:
        free_a = free_air_a(candidate.conductor, candidate.family.rated_c, piece.ambient_c)
        share = site.share(piece.run)
        factor = bundle_factor(piece.count, share)
        allowed_a = free_a * factor * thin_air
        found.append(
            Carries(allowed_a, free_a, factor, thin_air, piece.ambient_c, piece.count, share)
        )
    return min(found, key=lambda c: (c.allowed_a, -c.ambient_c, -c.count))


def crank_allowed_a(place: Place, candidate: Candidate) -> float:
    """Amps of a candidate that may flow for as long as a starter is held."""
    return overload_a(candidate.conductor, candidate.family.rated_c, place.ambient_c, CRANK_S)


def warm_c(place: Place, candidate: Candidate, steady_a: float, site: Site) -> float:
    """Temperature of the copper under its continuous current, degC."""
    piece = carries(place, candidate, site)
    return conductor_c(steady_a, piece.allowed_a, candidate.family.rated_c, piece.ambient_c)


def heat_of(place: Place, candidate: Candidate, steady_a: float, site: Site) -> Heat:
    """Hottest air on the way, and the copper's temperature before a fault, in whole fives."""
    warm = max(place.ambient_c, warm_c(place, candidate, steady_a, site))
    return Heat(place.ambient_c, START_STEP_C * math.ceil(warm / START_STEP_C - 1e-6))


def sizing_place(place: Place) -> Place:
    """The place, or where it is too hot for the insulation one that the current alone decides.

    No copper helps there: the wire is sized for its current, and its heat row tells the rest.
    """
    rated_c = place.candidates[0].family.rated_c
    if place.ambient_c < rated_c:
        return place
    cooler = rated_c - TOO_HOT_MARGIN_C
    pieces = tuple(replace(p, ambient_c=min(p.ambient_c, cooler)) for p in place.pieces)
    return replace(place, ambient_c=cooler, pieces=pieces)
