"""Unlike strands bunched on a round core, so that each may come out where it leaves."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from buildbook.harness.lay_up import LAY_TIMES, Layer, Seat, next_name, other_hand
from buildbook.harness.packing import enclosing, piled_on
from buildbook.harness.places import LaidLayer, Stay, bars, seated


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
