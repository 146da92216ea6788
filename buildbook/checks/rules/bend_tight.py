"""Finds harness that is bent tighter than its thickness allows."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.harness.finishing import LASTING_BEND, LEAST_BEND

RULE = "bend-tight"
SEVERITY = "error or warning or note"
SOURCE = "NASA-STD-8739.4, 7.3, cable insulated with other than polyimide film"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Hold every bend that the author recorded against the diameter of its run, cover and all."""
    for run in assessed.vehicle.runs:
        piece = assessed.finished_runs.get(run.id)
        if piece is None or piece.bend_mm is None or piece.bend_mm >= piece.lasting_bend_mm:
            continue
        tight = piece.bend_mm < piece.least_bend_mm
        moves = assessed.vehicle.description.zones[run.zone].moving
        times, least = (
            (LEAST_BEND, piece.least_bend_mm) if tight else (LASTING_BEND, piece.lasting_bend_mm)
        )
        may = "must never be" if tight else "should not be" if moves else "should not stay"
        where = " where it moves" if moves and not tight else ""
        yield Finding(
            RULE,
            "error" if tight else "warning" if moves else "note",
            run.id,
            f"The run from {run.from_point} to {run.to_point} bends on a radius of "
            f"{piece.bend_mm:.0f} mm; {piece.outside_mm:.1f} mm thick, it {may} bent "
            f"tighter than {least:.0f} mm{where}.",
            f"Lead it round a wider bend: {times:g} times its diameter.",
            SOURCE,
            run.where,
        )
