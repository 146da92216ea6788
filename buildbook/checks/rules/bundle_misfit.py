"""Finds harness that its grommet, clamp, cover or boot does not go round."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.catalogue.load import clamps
from buildbook.checks.model import Finding
from buildbook.checks.naming import plug_of
from buildbook.checks.stages import Assessed
from buildbook.harness.finishing import ConnectorBoot, FinishedRun
from buildbook.vehicle.model import Run
from buildbook.words.say import say

RULE = "bundle-misfit"
SEVERITY = "error or warning"
SOURCE = "diameter of the finished harness against the grommet described and the catalogue's sizes"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Each run against what holds it, then each connector against its boot."""
    for run in assessed.vehicle.runs:
        piece = assessed.finished_runs.get(run.id)
        if piece is not None:
            yield from _run(run, piece)
    for booted in assessed.boots:
        if booted.boot is None:
            yield _boot(assessed, booted)


def _run(run: Run, piece: FinishedRun) -> Iterator[Finding]:
    ends = {"from_point": run.from_point, "to_point": run.to_point}
    if run.grommet_m is not None and piece.outside_mm > run.grommet_m * 1000 + 1e-6:
        yield Finding(
            RULE,
            "error",
            run.id,
            say(
                "The harness from {from_point} to {to_point} is {thick_mm:.1f} mm thick and does "
                "not go through its grommet of {grommet_mm:g} mm.",
                **ends,
                thick_mm=piece.outside_mm,
                grommet_mm=run.grommet_m * 1000,
            ),
            say(
                "Take a larger grommet before the hole is finished, or lead some wires another way."
            ),
            SOURCE,
            run.where,
        )
    if run.clamps and piece.clamp is None:
        sizes = clamps().values()
        yield Finding(
            RULE,
            "warning",
            run.id,
            say(
                "The harness from {from_point} to {to_point} is {thick_mm:.1f} mm thick; clamps "
                "are made for {smallest_mm:g} to {largest_mm:g} mm, and none goes round it.",
                **ends,
                thick_mm=piece.outside_mm,
                smallest_mm=min(c.smallest_mm for c in sizes),
                largest_mm=max(c.largest_mm for c in sizes),
            ),
            say("Split it into two runs side by side, or hold it with a bracket made for it."),
            SOURCE,
            run.where,
        )
    if piece.cover != "none" and piece.sleeve is None:
        yield Finding(
            RULE,
            "warning",
            run.id,
            say(
                "The wires from {from_point} to {to_point} are {bare_mm:.1f} mm thick together; "
                "no {cover} goes on over that and closes on it.",
                **ends,
                bare_mm=piece.bare_mm,
                cover=say(piece.cover),
            ),
            say("Choose another `cover` for the harness, or `none` and protect it where it rubs."),
            SOURCE,
            run.where,
        )


def _boot(assessed: Assessed, booted: ConnectorBoot) -> Finding:
    connector = assessed.harness.connectors[booted.connector]
    return Finding(
        RULE,
        "warning",
        connector.id,
        say(
            "No boot fits {connector}: its shell is {over_mm:g} mm wide and its "
            "wires are {onto_mm:.1f} mm thick together; no boot goes over the one "
            "and closes on the other.",
            connector=plug_of(connector),
            over_mm=booted.over_mm,
            onto_mm=booted.onto_mm,
        ),
        say("Build the wires up with heat-shrink until a boot closes on them, or use a backshell."),
        SOURCE,
        connector.where,
    )
