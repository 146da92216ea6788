"""Audits a printed book: which tables its edition has, and where they differ from the model."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from buildbook.audit.compare import differences, printed_on
from buildbook.audit.expected_rows import (
    Rows,
    in_units,
    of_circuits,
    of_fuses,
    of_harness,
    of_lengths,
    of_loads,
    of_main_cables,
    of_orders,
    of_parts,
    of_pins,
    of_terminals,
)
from buildbook.audit.model import Difference, Expected, Kind, Page
from buildbook.audit.read_pages import pages_of
from buildbook.result import Result
from buildbook.words.say import in_language

EDITIONS = ("whole", "workings", "helper", "order")
"""Those with tables that are compared; trackside pages and the sheet of ropes have none yet."""


def audit(pdf: Path, result: Result, edition: str, harness: str = "") -> list[Difference]:
    """Where the tables of a book say something else than the model, by page and line.

    Raises Unreadable for a file that is no PDF.
    """
    return audit_pages(pages_of(pdf), result, edition, harness)


def audit_pages(
    pages: Iterable[Page], result: Result, edition: str = "whole", harness: str = ""
) -> list[Difference]:
    """The same of pages that were read before."""
    with in_language(result.vehicle.language):
        wanted = in_units(rows_of_edition(result, edition, harness), result.vehicle.measures)
    return differences((printed_on(page, wanted) for page in pages), wanted)


def rows_of_edition(result: Result, edition: str, harness: str) -> Rows:
    """Every row that the tables of an edition have to hold, by the kind of table."""
    harnesses = result.vehicle.description.rope
    if edition == "order":
        return of_orders(result)
    if edition == "workings":
        lengths = (of_lengths(result, name) for name in harnesses)
        return together(*lengths, of_loads(result), of_pins(result))
    if edition == "helper":
        wires = [wire for wire in result.harness.wires.values() if wire.harness == harness]
        ends = [end for wire in wires for end in (wire.a, wire.b)]
        posts = {end.node.rsplit(".", 1)[0] for end in ends if end.contact and not end.connector}
        devices = [name for name in result.vehicle.devices if name in posts]
        return together(of_harness(result, harness), of_terminals(result, devices))
    return together(
        of_circuits(result),
        of_main_cables(result),
        *(of_harness(result, name) for name in harnesses),
        of_fuses(result),
        of_parts(result),
        of_terminals(result, result.vehicle.devices),
    )


def together(*parts: Rows) -> Rows:
    """The rows of several parts by their kind of table."""
    found: dict[Kind, list[Expected]] = {}
    for part in parts:
        for kind, rows in part.items():
            found.setdefault(kind, []).extend(rows)
    return found
