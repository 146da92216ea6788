"""What one harness weighs: a wire forgotten or of the wrong size shows on the scales."""

from __future__ import annotations

from buildbook.bench.model import BareMass
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.parts.mass import covers_kg, wires_kg


def bare_mass(bench: HarnessOnBench) -> BareMass:
    """Wire as cut and cover, kg."""
    return BareMass(
        wires_kg(bench.vehicle, bench.sizing, bench.wires),
        covers_kg(bench.runs, bench.finished_runs),
    )
