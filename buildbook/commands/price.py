"""`buildbook price`: what the vehicle costs and what to order, without the book."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildbook.commands.print_messages import (
    EPILOG,
    priced,
    vehicle_argument,
)
from buildbook.figures import Units

if TYPE_CHECKING:
    from buildbook.parts.comparison import VariantFigures


@click.command(epilog=EPILOG)
@vehicle_argument
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "csv", "json"]),
    default="text",
    show_default=True,
    help="How to print.",
)
@click.option(
    "--variant",
    help="Price this variant; 'as written' for none. Without it the one that the vehicle names.",
)
@click.option(
    "--compare",
    is_flag=True,
    help="Set all variants side by side: cost, mass, crimps, connectors, findings.",
)
def price(vehicle: Path, form: str, variant: str | None, compare: bool) -> None:
    """Price VEHICLE: what to buy from whom, what it costs, how to cut the wire."""
    from buildbook.commands.bill_text import bill_text, compared_text

    if compare:
        columns, units = _all_variants(vehicle)
        click.echo(compared_text(columns, form, units), nl=False)
    else:
        click.echo(bill_text(priced(vehicle, variant), form), nl=False)


def _all_variants(folder: Path) -> tuple[list[VariantFigures], Units]:
    """A column of figures for the description as written and for each of its variants.

    With the units in which they are said.
    """
    from buildbook.checks.model import count_by_severity
    from buildbook.description.variants import AS_WRITTEN
    from buildbook.parts.comparison import variant_figures

    first = priced(folder, AS_WRITTEN)
    found = {AS_WRITTEN: first}
    for name in first.vehicle.description.variants:
        found[name] = priced(folder, name)
    columns = [
        variant_figures(name, p.vehicle, p.harness, p.sizing, p.bill, count_by_severity(p.findings))
        for name, p in found.items()
    ]
    return columns, first.vehicle.measures
