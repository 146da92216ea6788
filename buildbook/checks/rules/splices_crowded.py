"""Finds splices that lie nearer to each other than they can be made and sealed."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.harness.splice_offsets import LEAST_GAP_M, apart_m
from buildbook.words.say import say

RULE = "splices-crowded"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: neighbouring splices are staggered, so that no two lie side by side"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Tell each splice once, beside the nearest of those before it."""
    vehicle = assessed.vehicle
    runs = {run.id: run for run in vehicle.runs}
    near: dict[str, tuple[float, str]] = {}
    for one, other in combinations(assessed.harness.splices.values(), 2):
        gap = apart_m(runs, one, other)
        if gap is not None and gap < LEAST_GAP_M - 1e-9:
            near[other.id] = min(near.get(other.id, (gap, one.id)), (gap, one.id))
    for id_, (gap, beside) in near.items():
        splice = assessed.harness.splices[id_]
        yield Finding(
            RULE,
            "warning",
            id_,
            say(
                "Splice {splice} of '{circuit}' lies {gap:.0f} mm from splice {beside} at "
                "{point}: the rope there has no room to set {wanted:.0f} mm between them.",
                splice=id_,
                circuit=splice.circuit,
                gap=1000 * gap,
                beside=beside,
                point=splice.point,
                wanted=1000 * LEAST_GAP_M,
            ),
            say(
                "Splice one of the circuits at another breakout (splice at), or make the run "
                "longer."
            ),
            SOURCE,
            vehicle.circuits[splice.circuit].where,
        )
