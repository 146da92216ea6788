"""What a conductor may carry where its wire lies: for ever, and while a starter turns."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from buildbook.sizing.altitude_derating import altitude_factor
from buildbook.sizing.ampacity import conductor_c, free_air_a
from buildbook.sizing.bundle_derating import bundle_factor, loaded_share
from buildbook.sizing.fuse_load import CRANK_S
from buildbook.sizing.installation import Candidate, Installation
from buildbook.sizing.overcurrent import Temperatures
from buildbook.sizing.transient_heating import overload_a

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
class InstalledAmpacity:
    """Continuous amps of a conductor and every factor in them, in the piece that decides."""

    allowed_a: float
    free_air_a: float
    bundle_factor: float
    altitude_factor: float
    ambient_c: float
    count: int
    share: float


def installed_ampacity(
    installation: Installation, candidate: Candidate, site: Site
) -> InstalledAmpacity:
    """Free-air current times bundle and altitude factors, in the piece of rope of the least."""
    thin_air = altitude_factor(site.altitude_m)
    found = []
    for conditions in installation.surroundings:
        free_a = free_air_a(candidate.conductor, candidate.family.rated_c, conditions.ambient_c)
        share = site.share(conditions.run)
        factor = bundle_factor(conditions.count, share)
        allowed_a = free_a * factor * thin_air
        found.append(
            InstalledAmpacity(
                allowed_a, free_a, factor, thin_air, conditions.ambient_c, conditions.count, share
            )
        )
    return min(found, key=lambda c: (c.allowed_a, -c.ambient_c, -c.count))


def crank_allowed_a(installation: Installation, candidate: Candidate) -> float:
    """Amps of a candidate that may flow for as long as a starter is held."""
    return overload_a(
        candidate.conductor, candidate.family.rated_c, installation.ambient_c, CRANK_S
    )


def warm_c(installation: Installation, candidate: Candidate, steady_a: float, site: Site) -> float:
    """Temperature of the copper under its continuous current, degC."""
    conditions = installed_ampacity(installation, candidate, site)
    return conductor_c(
        steady_a, conditions.allowed_a, candidate.family.rated_c, conditions.ambient_c
    )


def temperatures_of(
    installation: Installation, candidate: Candidate, steady_a: float, site: Site
) -> Temperatures:
    """Hottest air on the way, and the copper's temperature before a fault, in whole fives."""
    warm = max(installation.ambient_c, warm_c(installation, candidate, steady_a, site))
    return Temperatures(
        installation.ambient_c, START_STEP_C * math.ceil(warm / START_STEP_C - 1e-6)
    )


def sizing_installation(installation: Installation) -> Installation:
    """The place, or where it is too hot for the insulation one that the current alone decides.

    No copper helps there: the wire is sized for its current, and its heat row tells the rest.
    """
    rated_c = installation.candidates[0].family.rated_c
    if installation.ambient_c < rated_c:
        return installation
    cooler = rated_c - TOO_HOT_MARGIN_C
    run_conditions = tuple(
        replace(p, ambient_c=min(p.ambient_c, cooler)) for p in installation.run_conditions
    )
    return replace(installation, ambient_c=cooler, run_conditions=run_conditions)
