"""How long rope is that nobody has laid yet: estimated from the plan and the runs beside it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from buildbook.description.move.layout import Layout, Stretch

NO_RATIO = 1.25
"""Length of a rope over the straight line where nothing measured says it; judgement, no source."""
STEP_M = 0.01
"""An estimate is rounded up to this: more figures would promise what it cannot hold."""

Place = tuple[float, ...]


def straight_m(one: Place, other: Place) -> float:
    """The straight line between two places; on the level where one has no height."""
    level = min(len(one), len(other))
    return math.dist(one[:level], other[:level])


def estimate_m(layout: Layout, harness: str, start: str, end: str) -> float:
    """The straight line on the plan, times what measured runs are longer than theirs.

    Those that end where it begins, else all of its harness, else all: their lengths over their
    straight lines, both added up. No rope is shorter than the straight line.
    """
    line_m = straight_m(layout.places[start], layout.places[end])
    beside = [s for s in layout.stretches if s.harness == harness]
    for runs in ([s for s in beside if start in s.ends], beside, layout.stretches):
        ratio = _ratio(runs, layout.places)
        if ratio is not None:
            break
    steps = math.ceil(line_m * max(ratio or NO_RATIO, 1.0) / STEP_M - 1e-6)
    return max(steps, 1) * STEP_M


def _ratio(runs: Iterable[Stretch], places: Mapping[str, Place]) -> float | None:
    """How many times as long as their straight lines measured runs are; None without any."""
    known = [s for s in runs if s.measured and s.ends[0] in places and s.ends[1] in places]
    line_m = math.fsum(straight_m(places[s.ends[0]], places[s.ends[1]]) for s in known)
    return math.fsum(s.length_m for s in known) / line_m if line_m > 0 else None
