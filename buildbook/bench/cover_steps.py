"""Sleeve, end shrink and clamps of every run, from the datum outwards."""

from __future__ import annotations

from buildbook.bench.model import CoverStep
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.parts.cover_needs import cover_mm, shrink_size, size_words
from buildbook.vehicle.model import Run


def cover_steps(bench: HarnessOnBench) -> tuple[CoverStep, ...]:
    """Every run with wires, those nearest to the datum first."""
    steps = [_step(bench, run) for run in bench.runs if run.id in bench.finished_runs]
    return tuple(sorted(steps, key=lambda step: step.from_datum_mm))


def _step(bench: HarnessOnBench, run: Run) -> CoverStep:
    piece = bench.finished_runs[run.id]
    near = min(bench.from_datum_mm[run.from_point], bench.from_datum_mm[run.to_point])
    length = 1000 * run.length_m
    braided = piece.cover == "braided sleeve"
    shrink = size_words(shrink_size(piece.outside_mm)) if braided else ""
    clamps = tuple(round(length * n / (run.clamps + 1)) for n in range(1, run.clamps + 1))
    return CoverStep(run, near, piece, cover_mm(piece, run.length_m), shrink, clamps)
