"""Finds splices of wires that no one barrel holds together."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.catalogue.load import barrels
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed

RULE = "splice-mixed"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: the thinnest wire of a crimped splice has at least a tenth of the thickest"
MOST_RATIO = 10.0


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare the thickest with the thinnest wire, and their sum with the largest barrel."""
    largest = max(barrel.largest_mm2 for barrel in barrels().values())
    for splice in assessed.harness.splices.values():
        areas = {w: assessed.sizing.wires[w].area_mm2 for w in splice.wires}
        thin, thick = min(areas, key=areas.__getitem__), max(areas, key=areas.__getitem__)
        if areas[thick] > MOST_RATIO * areas[thin] * (1 + 1e-6):
            what = (
                f"joins wire {thin} of {areas[thin]:g} mm2 to wire {thick} of {areas[thick]:g} "
                f"mm2, more than {MOST_RATIO:g} times as thick"
            )
        elif sum(areas.values()) > largest:
            what = (
                f"joins {sum(areas.values()):g} mm2 in all; the largest barrel takes {largest:g} "
                "mm2"
            )
        else:
            continue
        yield Finding(
            RULE,
            "warning",
            splice.id,
            f"Splice {splice.id} of '{splice.circuit}' {what}.",
            "Join thick and thin at a stud, or bring the thin wire to a thicker size (size).",
            SOURCE,
            assessed.vehicle.circuits[splice.circuit].where,
        )
