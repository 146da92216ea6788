"""Finds splices of wires that no one barrel holds together."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum

from buildbook.catalogue.load import barrels
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

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
            text = say(
                "Splice {splice} of '{circuit}' joins wire {thin} of {thin_mm2:g} mm2 to wire "
                "{thick} of {thick_mm2:g} mm2, more than {ratio:g} times as thick.",
                splice=splice.id,
                circuit=splice.circuit,
                thin=thin,
                thin_mm2=areas[thin],
                thick=thick,
                thick_mm2=areas[thick],
                ratio=MOST_RATIO,
            )
        elif fsum(areas.values()) > largest:
            text = say(
                "Splice {splice} of '{circuit}' joins {all:g} mm2 in all; the largest barrel takes "
                "{largest:g} mm2.",
                splice=splice.id,
                circuit=splice.circuit,
                all=fsum(areas.values()),
                largest=largest,
            )
        else:
            continue
        yield Finding(
            RULE,
            "warning",
            splice.id,
            text,
            say("Join thick and thin at a stud, or bring the thin wire to a thicker size (size)."),
            SOURCE,
            assessed.vehicle.circuits[splice.circuit].where,
        )
