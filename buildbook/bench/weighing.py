"""What one harness weighs: a wire forgotten or of the wrong size shows on the scales."""

from __future__ import annotations

from buildbook.bench.bench import Bench
from buildbook.bench.model import Mass
from buildbook.harness.sleeves import cover_kg_per_m


def mass(bench: Bench) -> Mass:
    """Wire as cut and cover, kg."""
    cover = 0.0
    for run in bench.runs:
        piece = bench.dressed.get(run.id)
        if piece and piece.sleeve:
            cover += cover_kg_per_m(piece.sleeve, piece.bare_mm) * run.length_m
    return Mass(
        sum(bench.conductor(w).kg_per_m * w.cut_m for w in bench.wires),
        cover,
    )
