"""The wires of each run, and how thick they are together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from buildbook.harness.model import Bundle, Wire
from buildbook.harness.packing import pack
from buildbook.vehicle.model import Run


def bundles(runs: Iterable[Run], wires: Iterable[Wire]) -> dict[str, Bundle]:
    """Run id -> the wires laid along it, in wire order."""
    held: dict[str, list[str]] = {run.id: [] for run in runs}
    for wire in wires:
        for run in wire.runs:
            held[run].append(wire.id)
    return {run: Bundle(run, tuple(ids)) for run, ids in held.items()}


def bundle_diameter_mm(od_mm: Sequence[float]) -> float:
    """Outside diameter in mm of wires of these outside diameters, laid round and tight."""
    return 2 * pack([od / 2 for od in od_mm]).radius
