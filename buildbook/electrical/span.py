"""A value with the lowest and highest that tolerances leave it, and how they propagate."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product


@dataclass(frozen=True)
class Span:
    """A nominal value between its worst cases; all in one unit."""

    low: float
    nominal: float
    high: float


def exactly(value: float) -> Span:
    return Span(value, value, value)


def around(nominal: float, share: float) -> Span:
    """`nominal` give or take a share of itself."""
    reach = abs(nominal) * share
    return Span(nominal - reach, nominal, nominal + reach)


def within(nominal: float, reach: float) -> Span:
    """`nominal` give or take `reach`, in its own unit."""
    return Span(nominal - abs(reach), nominal, nominal + abs(reach))


def moved(span: Span, by: float) -> Span:
    """A span on top of another value."""
    return Span(span.low + by, span.nominal + by, span.high + by)


def worst_case(function: Callable[..., float], *spans: Span) -> Span:
    """What `function` gives at the nominal values, and its extremes over every corner.

    Extreme value analysis: exact where the function only rises or only falls with each of its
    arguments, as dividers and sensor characteristics do.
    """
    ends = [(s.low, s.high) if s.low != s.high else (s.low,) for s in spans]
    values = [function(*corner) for corner in product(*ends)]
    nominal = function(*(s.nominal for s in spans))
    return Span(min(nominal, *values), nominal, max(nominal, *values))
