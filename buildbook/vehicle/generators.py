"""What alternators and dynamos give: by the engine's speed, and less in a hot place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from buildbook.description import models as written
from buildbook.vehicle.model import Run

ABSOLUTE_ZERO_C = -273.15


def generator_limit_a(curve: list[tuple[float, float]], rpm: float) -> float:
    """Output current at an engine speed, straight between the points; zero below the first."""
    if not curve or rpm < curve[0][0]:
        return 0.0
    for (low, low_a), (high, high_a) in zip(curve, curve[1:], strict=False):
        if rpm <= high:
            return low_a + (high_a - low_a) * (rpm - low) / max(high - low, 1e-9)
    return curve[-1][1]


def hot_curve(generator: written.Generator, hottest_c: float) -> list[tuple[float, float]]:
    """A generator's curve (rpm, A) at the temperature of its place.

    Hot windings resist more, so output falls with temperature: by the author's share a kelvin
    above the temperature at which the curve was taken. Cold adds nothing.
    """
    lost = generator.per_kelvin * max(0.0, hottest_c - generator.curve_at)
    return [(rpm, amps * max(0.0, 1 - lost)) for rpm, amps in generator.curve]


def hottest_c(point: str, runs: Iterable[Run], zones: Mapping[str, written.Zone]) -> float:
    """Hottest zone, degC, of the runs that reach a point; absolute zero where none does."""
    there = (run for run in runs if point in (run.from_point, run.to_point))
    known = (zones[run.zone].ambient for run in there if run.zone in zones)
    return max(known, default=ABSOLUTE_ZERO_C)
