"""`buildbook record`: keep what the harnesses were built with."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from buildbook.commands.print_messages import (
    EPILOG,
    say,
    vehicle_argument,
    worked_out,
    write_or_say,
)


@click.command(epilog=EPILOG)
@vehicle_argument
@click.option(
    "--rework",
    is_flag=True,
    help="The harness was reworked to the description: replace what was recorded.",
)
def record(vehicle: Path, rework: bool) -> None:
    """Write numbers, colours, contacts, splices, sizes and lengths of VEHICLE as built.

    They go to as-built.yaml in the folder and later runs keep them, so that a circuit added
    later changes no label that is on a wire. Where a harness recorded before would be altered,
    what would change is listed, and nothing is written without --rework.
    """
    from buildbook.as_built.compare import alterations
    from buildbook.as_built.text import as_built_text
    from buildbook.description.read import AS_BUILT
    from buildbook.sizing.as_built import as_built_now

    result = worked_out(vehicle)
    new = as_built_now(result.vehicle, result.harness, result.sizing)
    old = result.vehicle.as_built
    changed = alterations(old, new) if old else ()
    for alteration in changed:
        click.echo(f"{alteration.circuit}: {alteration.kind}")
        for what in alteration.what:
            click.echo(f"    {what}")
    target = vehicle / AS_BUILT
    if changed and not rework:
        say(
            f"{target} was not changed: {len(changed)} circuits differ from what was built. "
            "When the harness has been reworked, give --rework."
        )
        sys.exit(1)
    if old and not changed:
        click.echo(f"{target} says this already")
        return
    write_or_say(target, as_built_text(new))
    wires = sum(len(circuit.wires) for circuit in new.circuits.values())
    click.echo(f"{target}: {len(new.circuits)} circuits, {wires} wires")
