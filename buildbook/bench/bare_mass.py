"""What one harness weighs: a wire forgotten or of the wrong size shows on the scales."""

from __future__ import annotations

from buildbook.bench.model import BareMass
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.harness.sleeves import cover_kg_per_m


def bare_mass(bench: HarnessOnBench) -> BareMass:
    """Wire as cut and cover, kg."""
    cover = 0.0
    for run in bench.runs:
        piece = bench.finished_runs.get(run.id)
        if piece and piece.sleeve:
            cover += cover_kg_per_m(piece.sleeve, piece.bare_mm) * run.length_m
    return BareMass(
        sum(bench.conductor(w).kg_per_m * w.cut_m for w in bench.wires),
        cover,
    )
