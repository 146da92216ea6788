"""Unlike strands bunched on a round core, so that each may come out where it leaves."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from buildbook.harness.lay_up import LAY_TIMES, Layer, Seat, next_name, other_hand
from buildbook.harness.packing import enclosing, piled_on
from buildbook.harness.places import LaidLayer, Place, Stay, seated

BEYOND = 0.25
"""Share of a strand's width that it stands out farther than another, from which it covers that
one's way out; judgement, no source."""
NEAR_MM = 1e-6
CLEAR = 0.9
"""Share of two strands' width that must lie between the middle of one and the way out of the
other; insulation gives a little (judgement, no source)."""


def bunched_on(inner: Layer, order: Sequence[Stay]) -> LaidLayer | None:
    """Unlike strands in one layer, each as far in as it goes: thin ones beside thick ones.

    None goes on outside the place where another comes in or out: that other's way out stays
    clear. None where that cannot be had.
    """
    places = seated((), order)
    lying: list[tuple[float, float]] = []

    def may_lie(n: int, x: float, y: float) -> bool:
        del lying[n:]
        others = zip(places, lying, strict=False)
        if any(bars(places[n], (x, y), place, spot) for place, spot in others):
            return False
        lying.append((x, y))
        return True

    if len(places) < 2:
        return None
    radii = [place.diameter_mm / 2 for place in places]
    centres = piled_on(inner.outside_mm / 2, radii, may_lie)
    if centres is None:
        return None
    middles = np.array([(0.0, 0.0), *centres])
    _, radius = enclosing(middles, np.array([inner.outside_mm / 2, *radii]))
    ring = Layer(
        name=next_name(inner),
        seats=tuple(Seat(place.diameter_mm, None) for place in places),
        centres=tuple(centres),
        inside_mm=inner.outside_mm,
        outside_mm=2 * radius,
        pitch_mm=2 * max(math.hypot(x, y) for x, y in centres),
        lay_mm=LAY_TIMES * 2 * radius,
        hand=other_hand(inner),
        bunched=True,
    )
    return LaidLayer(ring, tuple(places))


Spot = tuple[float, float]
"""Where the middle of a seat lies, mm from that of the harness."""


def bars(one: Place, at: Spot, other: Place, there: Spot) -> bool:
    """Whether a strand of one goes on straight outside of where one of the other comes in or out.

    Either way round.
    """
    return _over(one, at, other, there) or _over(other, there, one, at)


def _over(outer: Place, at: Spot, inner: Place, there: Spot) -> bool:
    (x, y), (u, v) = at, there
    away = math.hypot(u, v)
    beyond = math.hypot(x, y) + outer.diameter_mm / 2 - away - inner.diameter_mm / 2
    if math.hypot(x, y) <= away + NEAR_MM or beyond <= BEYOND * outer.diameter_mm:
        return False
    if away > NEAR_MM and x * u + y * v <= 0:
        return False
    if (
        away > NEAR_MM
        and abs(x * v - y * u) / away >= CLEAR * (outer.diameter_mm + inner.diameter_mm) / 2
    ):
        return False
    return any(stay.keeps_inside_of(left) for stay in outer.stays for left in inner.stays)
