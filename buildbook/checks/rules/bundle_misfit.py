"""Finds harness that its grommet, clamp, cover or boot does not go round."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.catalogue.load import clamps
from buildbook.checks.model import Finding
from buildbook.checks.naming import plug_of
from buildbook.checks.stages import Assessed
from buildbook.harness.finishing import ConnectorBoot, FinishedRun
from buildbook.vehicle.model import Run

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
    ends = f"from {run.from_point} to {run.to_point}"
    thick = f"The harness {ends} is {piece.outside_mm:.1f} mm thick"
    if run.grommet_m is not None and piece.outside_mm > run.grommet_m * 1000 + 1e-6:
        yield Finding(
            RULE,
            "error",
            run.id,
            f"{thick} and does not go through its grommet of {run.grommet_m * 1000:g} mm.",
            "Take a larger grommet before the hole is finished, or lead some wires another way.",
            SOURCE,
            run.where,
        )
    if run.clamps and piece.clamp is None:
        sizes = clamps().values()
        yield Finding(
            RULE,
            "warning",
            run.id,
            f"{thick}; clamps are made for {min(c.smallest_mm for c in sizes):g} to "
            f"{max(c.largest_mm for c in sizes):g} mm, and none goes round it.",
            "Split it into two runs side by side, or hold it with a bracket made for it.",
            SOURCE,
            run.where,
        )
    if piece.cover != "none" and piece.sleeve is None:
        yield Finding(
            RULE,
            "warning",
            run.id,
            f"The wires {ends} are {piece.bare_mm:.1f} mm thick together; no "
            f"{piece.cover} goes on over that and closes on it.",
            "Choose another `cover` for the harness, or `none` and protect it where it rubs.",
            SOURCE,
            run.where,
        )


def _boot(assessed: Assessed, booted: ConnectorBoot) -> Finding:
    connector = assessed.harness.connectors[booted.connector]
    return Finding(
        RULE,
        "warning",
        connector.id,
        f"No boot fits {plug_of(connector)}: its shell is {booted.over_mm:g} mm wide and its "
        f"wires are {booted.onto_mm:.1f} mm thick together; no boot goes over the one and "
        "closes on the other.",
        "Build the wires up with heat-shrink until a boot closes on them, or use a backshell.",
        SOURCE,
        connector.where,
    )
