"""A conductor's temperature in time: overload, intermittent load, and how long it stands them.

One lump of copper that loses heat to still air: C dT/dt = I2 r(T) - q(T), with q taken straight
between a few temperatures, so that each stretch has its exact solution.
"""

from __future__ import annotations

import math
from functools import lru_cache

from buildbook.catalogue.copper import FROM_ZERO_TO_REFERENCE_C, MELTS_C
from buildbook.catalogue.model import Conductor
from buildbook.sizing.heat_balance import (
    heat_w_per_m,
    resistance_ratio,
    store_j_per_m_k,
)

STRETCHES = 8
"""Pieces of the rise in which the loss is taken as straight: the time errs by under 1 percent."""
HALVINGS = 40
"""They leave 1e-12 of what is searched: amps between those for ever and those without loss, or
degrees up to copper's melting point. That is far below what `STRETCHES` errs by."""


def _stretches(
    conductor: Conductor, start_c: float, limit_c: float, ambient_c: float
) -> tuple[tuple[float, float, float, float], ...]:
    """(from degC, to degC, loss at from W/m, its growth W/(m K)) up to the limit."""
    step = (limit_c - start_c) / STRETCHES
    marks = [start_c + step * i for i in range(STRETCHES)] + [limit_c]
    loss = [heat_w_per_m(conductor, mark, ambient_c) for mark in marks]
    return tuple(
        (a, b, q, (r - q) / (b - a))
        for a, b, q, r in zip(marks, marks[1:], loss, loss[1:], strict=False)
    )


_stretches = lru_cache(maxsize=20000)(_stretches)


def time_to_s(
    conductor: Conductor,
    current_a: float,
    limit_c: float,
    ambient_c: float,
    start_c: float | None = None,
) -> float:
    """Seconds until a current brings the conductor to `limit_c`; infinite where it never does.

    It starts at `start_c`, or at the air's temperature where none is given.
    """
    start_c = max(ambient_c, ambient_c if start_c is None else start_c)
    if start_c >= limit_c:
        return 0.0
    made, store = current_a**2 * conductor.ohm_per_m_20c, store_j_per_m_k(conductor)
    total = 0.0
    for low_c, high_c, loss, slope in _stretches(conductor, start_c, limit_c, ambient_c):
        warming = (made * resistance_ratio(low_c) - loss) / store
        growth = (made / FROM_ZERO_TO_REFERENCE_C - slope) / store
        width = high_c - low_c
        if warming <= 0 or warming + growth * width <= 0:
            return math.inf
        turned = growth * width / warming
        total += width / warming * (math.log1p(turned) / turned if turned else 1.0)
    return total


time_to_s = lru_cache(maxsize=20000)(time_to_s)


def overload_a(conductor: Conductor, limit_c: float, ambient_c: float, time_s: float) -> float:
    """Current that brings a wire that starts as warm as the air to `limit_c` in `time_s`, A.

    The inverse of `time_to_s`: endless time gives the free-air current, a short one the adiabatic
    limit I2 t = k2 A2. The insulation's own heat capacity is left out, on the safe side.
    """
    return _current_a(conductor, limit_c, ambient_c, ambient_c, time_s)


overload_a = lru_cache(maxsize=20000)(overload_a)


def intermittent_a(
    conductor: Conductor, limit_c: float, ambient_c: float, on_s: float, off_s: float
) -> float:
    """Current of a load on for `on_s`, off for `off_s`, over and over, that peaks at `limit_c`."""
    if limit_c <= ambient_c:
        return 0.0
    valley_c = cooled_c(conductor, limit_c, ambient_c, off_s)
    return _current_a(conductor, limit_c, ambient_c, valley_c, on_s)


intermittent_a = lru_cache(maxsize=20000)(intermittent_a)


def _current_a(
    conductor: Conductor, limit_c: float, ambient_c: float, start_c: float, time_s: float
) -> float:
    """Current that takes the conductor from `start_c` to `limit_c` in a time, by halving."""
    if limit_c <= ambient_c:
        return 0.0
    lost = heat_w_per_m(conductor, limit_c, ambient_c)
    stored = store_j_per_m_k(conductor) * (limit_c - start_c) / time_s
    ohm_per_m = conductor.ohm_per_m_20c
    low = math.sqrt(lost / ohm_per_m / resistance_ratio(limit_c))
    high = math.sqrt((lost + stored) / ohm_per_m / resistance_ratio(start_c))
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if time_to_s(conductor, middle, limit_c, ambient_c, start_c) > time_s:
            low = middle
        else:
            high = middle
    return low


def cooled_c(conductor: Conductor, start_c: float, ambient_c: float, time_s: float) -> float:
    """Temperature of a conductor some time after its current stopped, degC."""
    if start_c <= ambient_c:
        return start_c
    store, left = store_j_per_m_k(conductor), time_s
    for low_c, high_c, loss, growth in reversed(
        _stretches(conductor, ambient_c, start_c, ambient_c)
    ):
        fastest = loss + growth * (high_c - low_c)
        needs = store / growth * math.log(fastest / loss) if loss > 0 else math.inf
        if left < needs:
            return low_c + (fastest * math.exp(-growth * left / store) - loss) / growth
        left -= needs
    return ambient_c


def temperature_after_c(
    conductor: Conductor, current_a: float, ambient_c: float, time_s: float
) -> float:
    """Temperature that a wire that starts as warm as the air has after a time, degC.

    No higher than copper's melting point.
    """
    low, high = ambient_c, MELTS_C
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if time_to_s(conductor, current_a, middle, ambient_c) > time_s:
            high = middle
        else:
            low = middle
    return low
