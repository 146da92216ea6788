"""Finds harness that is bent tighter than its thickness allows."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.harness.finishing import LASTING_BEND, LEAST_BEND
from buildbook.words.say import mark, say

RULE = "bend-tight"
SEVERITY = "error or warning or note"
SOURCE = "NASA-STD-8739.4, 7.3, cable insulated with other than polyimide film"

BENDS = {
    "error": mark(
        "The run from {from_point} to {to_point} bends on a radius of {bend_mm:.0f} mm; "
        "{outside_mm:.1f} mm thick, it must never be bent tighter than {least:.0f} mm."
    ),
    "warning": mark(
        "The run from {from_point} to {to_point} bends on a radius of {bend_mm:.0f} mm; "
        "{outside_mm:.1f} mm thick, it should not be bent tighter than {least:.0f} mm where it "
        "moves."
    ),
    "note": mark(
        "The run from {from_point} to {to_point} bends on a radius of {bend_mm:.0f} mm; "
        "{outside_mm:.1f} mm thick, it should not stay bent tighter than {least:.0f} mm."
    ),
}


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
        severity = "error" if tight else "warning" if moves else "note"
        yield Finding(
            RULE,
            severity,
            run.id,
            say(
                BENDS[severity],
                from_point=run.from_point,
                to_point=run.to_point,
                bend_mm=piece.bend_mm,
                outside_mm=piece.outside_mm,
                least=least,
            ),
            say("Lead it round a wider bend: {times:g} times its diameter.", times=times),
            SOURCE,
            run.where,
        )
