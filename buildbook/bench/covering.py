"""Sleeve, end shrink and clamps of every run, from the datum outwards."""

from __future__ import annotations

import math

from buildbook.bench.bench import Bench
from buildbook.bench.model import DressStep
from buildbook.bench.splicing import shrink_id
from buildbook.parts.covering import tape_m
from buildbook.vehicle.model import Run

BRAID_SHARE = 0.10
"""Braid is cut longer than its run and milked along: it shortens as it widens. Common practice,
no source."""


def dress_steps(bench: Bench) -> tuple[DressStep, ...]:
    """Every run with wires, those nearest to the datum first."""
    steps = [_step(bench, run) for run in bench.runs if run.id in bench.dressed]
    return tuple(sorted(steps, key=lambda step: step.from_datum_mm))


def _step(bench: Bench, run: Run) -> DressStep:
    piece = bench.dressed[run.id]
    near = min(bench.from_datum_mm[run.from_point], bench.from_datum_mm[run.to_point])
    length = 1000 * run.length_m
    sleeve_mm = {
        "braided sleeve": length * (1 + BRAID_SHARE),
        "heat-shrink": length,
        "tape": 1000 * tape_m(run.length_m, piece.bare_mm),
        "none": 0.0,
    }[piece.cover]
    shrink = shrink_id(piece.outside_mm) if piece.cover == "braided sleeve" else ""
    clamps = tuple(round(length * n / (run.clamps + 1)) for n in range(1, run.clamps + 1))
    return DressStep(run, near, piece, math.ceil(sleeve_mm / 5) * 5, shrink, clamps)
