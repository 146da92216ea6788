"""One reading: what a meter shows between two places, of which kind, and how far it may be off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from buildbook.electrical.span import Span, within

Kind = Literal["steady", "average", "levels", "between", "alternating", "floating", "unsettled"]
"""steady: one value; average: of a pulse; levels: one of two, where something happens to stand;
between: anything from low to high, as what is measured goes, an engine turns or a slow pulse
beats; alternating; floating: nothing holds it; unsettled: not to be predicted, for the reason
told."""

WITHIN_V, WITHIN_SHARE = 0.1, 0.06
"""How far a healthy reading may be off, the larger of the two: a hand meter, and a battery that is
three quarters charged instead of full (12.4 V for 12.7). Our choice."""


@dataclass(frozen=True)
class Reading:
    """Volts that a meter on direct current shows, each nominal with its tolerance.

    `volts` is where the meter settles; None where there is no one value. `low` and `high` are the
    two levels, the ends of a swing or of what is possible; None where there is but one value.
    """

    kind: Kind
    volts: Span | None = None
    low: Span | None = None
    high: Span | None = None
    why: str = ""
    """Of what is not steady: what moves it."""
    rms_v: float | None = None
    """Of what alternates: what a meter on alternating current shows, where that is known."""

    @property
    def most_v(self) -> float:
        """The highest volts that a meter may show; 0 where nothing is known."""
        span = self.volts if self.kind == "average" else self.high or self.volts
        return 0.0 if span is None else span.nominal

    def fits(self, measured_v: float) -> bool:
        """Whether a healthy vehicle may show these volts."""
        if self.kind in ("floating", "unsettled"):
            return True
        if self.kind == "levels":
            return _in(self.low, measured_v) or _in(self.high, measured_v)
        if self.kind == "between" and self.low and self.high:
            return self.low.low <= measured_v <= self.high.high
        return _in(self.volts, measured_v)


def _in(span: Span | None, volts: float) -> bool:
    return span is not None and span.low <= volts <= span.high


def tolerant(volts: float) -> Span:
    """Steady volts with what a healthy vehicle's battery, and the meter, may make of them."""
    return within(volts, max(WITHIN_V, WITHIN_SHARE * abs(volts)))


def less(one: Span, other: Span) -> Span:
    """One span less another, worst case."""
    return Span(one.low - other.high, one.nominal - other.nominal, one.high - other.low)
