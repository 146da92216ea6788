"""Sleeve, end shrink and clamps of every run, from the datum outwards."""

from __future__ import annotations

from buildbook.bench.bench import Bench
from buildbook.bench.model import DressStep
from buildbook.parts.covering import cover_mm, shrink_size
from buildbook.vehicle.model import Run


def dress_steps(bench: Bench) -> tuple[DressStep, ...]:
    """Every run with wires, those nearest to the datum first."""
    steps = [_step(bench, run) for run in bench.runs if run.id in bench.dressed]
    return tuple(sorted(steps, key=lambda step: step.from_datum_mm))


def _step(bench: Bench, run: Run) -> DressStep:
    piece = bench.dressed[run.id]
    near = min(bench.from_datum_mm[run.from_point], bench.from_datum_mm[run.to_point])
    length = 1000 * run.length_m
    shrink = shrink_size(piece.outside_mm) if piece.cover == "braided sleeve" else ""
    clamps = tuple(round(length * n / (run.clamps + 1)) for n in range(1, run.clamps + 1))
    return DressStep(run, near, piece, cover_mm(piece, run.length_m), shrink, clamps)
