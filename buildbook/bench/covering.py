"""Sleeve and clamp of every run, by the diameter of the wires in it."""

from __future__ import annotations

from buildbook.catalogue.load import sleeves
from buildbook.harness.model import Harness
from buildbook.parts.cover import smallest_around
from buildbook.parts.needs import bundle_mm
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Run, Vehicle


def cover_of(vehicle: Vehicle, harness: Harness, sizing: Sizing, run: Run) -> str:
    """Catalogue id of the cover of a run; '' where it has none."""
    kind = vehicle.description.rope[run.harness].cover
    bundle = harness.bundles.get(run.id)
    if kind == "none" or bundle is None or not bundle.wires:
        return ""
    around = bundle_mm([harness.wires[w] for w in bundle.wires], vehicle, sizing)
    return smallest_around((s for s in sleeves().values() if s.kind == kind), around)
