"""The standard rating of each fuse: for its load and inrush, and to open after those below."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from buildbook.catalogue.model import FuseFamily
from buildbook.electrical.network import inside
from buildbook.sizing.fuse_load import BAND_C, CRANK_S, FuseLoad
from buildbook.sizing.installation import Installation
from buildbook.sizing.installed_ampacity import sizing_installation, temperatures_of
from buildbook.sizing.loading import Loading
from buildbook.sizing.model import Selectivity
from buildbook.sizing.openers import family_of, opener_called, tripping
from buildbook.sizing.opening_time import fastest_s
from buildbook.sizing.overcurrent import outlasts
from buildbook.sizing.selectivity import FittedFuse, judge_selectivity
from buildbook.vehicle.model import Vehicle


def need_of(kind: str, rating_a: float) -> str:
    """What a fuse is ordered by: its family and rating."""
    return f"fuse {kind} {rating_a:g} A"


def derating(fuse: FuseFamily, ambient_c: float) -> float:
    """Share of its rating left to a fuse in warmer air than its opening times are stated for."""
    return 1 - fuse.lost_per_k * max(0.0, ambient_c - BAND_C)


def carries_a(fuse: FuseFamily, rating_a: float, ambient_c: float) -> float:
    """Amps that a fuse may carry for ever: its derated rating times the continuous share."""
    return rating_a * fuse.continuous_share * derating(fuse, ambient_c)


def holds(fuse: FuseFamily, rating_a: float, current_a: float, time_s: float) -> bool:
    """Whether even the quickest fuse of the family lets a current through for a time.

    At one current to compare times is to compare I2 t with the I2 t that melts it.
    """
    return current_a <= 0 or fastest_s(fuse, rating_a, current_a) > time_s


def load_rating_a(fuse: FuseFamily, load: FuseLoad) -> float:
    """Smallest standard rating that carries the load; the largest where none does."""
    return _smallest(fuse, lambda r: load.current_a <= carries_a(fuse, r, load.ambient_c) + 1e-9)


def inrush_rating_a(fuse: FuseFamily, load: FuseLoad) -> float:
    """Smallest standard rating that lets the inrush and the cranking through."""

    def passes(rating: float) -> bool:
        warm = rating * derating(fuse, load.ambient_c)
        return holds(fuse, warm, load.inrush_a, load.inrush_s) and holds(
            fuse, warm, load.crank_a, CRANK_S
        )

    return _smallest(fuse, passes)


def needed_rating_a(fuse: FuseFamily, load: FuseLoad) -> float:
    """Smallest standard rating for the load and its inrush; the largest where none will do."""
    return max(load_rating_a(fuse, load), inrush_rating_a(fuse, load))


def _smallest(fuse: FuseFamily, passes: Callable[[float], bool]) -> float:
    return next((r for r in fuse.ratings_a if passes(r)), fuse.ratings_a[-1])


def behind_a(vehicle: Vehicle, loading: Loading, fuse: str) -> float:
    """Prospective short-circuit current just behind a fuse or an output, A."""
    ends = opener_called(vehicle, fuse).ends
    return max(loading.short_circuits.at_a(inside(out)) for _, out in ends)


def rate_fuses(
    vehicle: Vehicle, where: Mapping[str, Installation], loading: Loading
) -> dict[str, float]:
    """Ratings that carry load and inrush and, where wires allow, open after the fuses below.

    An output that trips has the limit that is written. Raised together again and again until none
    is: a rating is only ever raised, to one of its family's, of which there are finitely many, so
    that it ends.
    """
    pinned = pinned_ratings(vehicle)
    ratings = {
        fuse: pinned.get(fuse) or needed_rating_a(family_of(vehicle, fuse), load)
        for fuse, load in loading.fuse_loads.items()
    }
    most = _most_ratings(vehicle, where, loading)
    while True:
        raised = {
            fuse: rating
            if fuse in pinned
            else _selective_a(vehicle, loading, fuse, ratings, most.get(fuse, rating))
            for fuse, rating in ratings.items()
        }
        if raised == ratings:
            return ratings
        ratings = raised


def pinned_ratings(vehicle: Vehicle) -> dict[str, float]:
    """Ratings that the author gives: of fuses, and the limits of outputs that trip."""
    written = {fuse.id: fuse.written.rating for fuse in vehicle.all_of("fuse")}
    written |= {output.id: output.limit_a for output in tripping(vehicle).values()}
    return {name: rating for name, rating in written.items() if rating}


def _selective_a(
    vehicle: Vehicle, loading: Loading, fuse: str, ratings: Mapping[str, float], most_a: float
) -> float:
    """The rating, or the next with which the fuse opens after all below it; as it was if none."""
    for rating in family_of(vehicle, fuse).ratings_a:
        if rating >= ratings[fuse] and (rating <= most_a or rating == ratings[fuse]):
            judged = selectivity_of(vehicle, loading, fuse, {**ratings, fuse: rating})
            if all(s.holds for s in judged):
                return rating
    return ratings[fuse]


def selectivity_of(
    vehicle: Vehicle, loading: Loading, fuse: str, ratings: Mapping[str, float]
) -> tuple[Selectivity, ...]:
    """A fuse judged against every fuse next below it."""
    upper = FittedFuse(fuse, family_of(vehicle, fuse), ratings[fuse])
    loads = loading.fuse_loads
    return tuple(
        judge_selectivity(
            FittedFuse(lower, family_of(vehicle, lower), ratings[lower]),
            upper,
            max(loads[fuse].current_a - loads[lower].current_a, 0.0),
            behind_a(vehicle, loading, lower),
        )
        for lower in loading.below.get(fuse, ())
    )


def _most_ratings(
    vehicle: Vehicle, where: Mapping[str, Installation], loading: Loading
) -> dict[str, float]:
    """Largest rating of each fuse with others below it that the wires behind can be made for."""
    most: dict[str, float] = {}
    for wire, installation in where.items():
        installation = sizing_installation(installation)
        fits = [c for c in installation.candidates if c.area_mm2 <= installation.most_mm2]
        thickest = installation.pinned or (fits or installation.candidates)[-1]
        temperatures = temperatures_of(
            installation, thickest, loading.wire_loads[wire].steady_a, loading.site
        )
        for fuse in loading.protected_by[wire] & loading.below.keys():
            family = family_of(vehicle, fuse)
            able = [r for r in family.ratings_a if outlasts(thickest, temperatures, family, r)]
            most[fuse] = min(most.get(fuse, family.ratings_a[-1]), max(able, default=0.0))
    return most
