"""Finds what the description would alter in a harness that exists."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import PRACTICE, Context
from buildbook.checks.model import Finding
from buildbook.description.read import RECORD
from buildbook.problem import Where
from buildbook.record import alterations, record_of

RULE = "as-built"
SOURCE = f"{PRACTICE}: a harness is as it was built until somebody reworks it"


def check(context: Context) -> Iterator[Finding]:
    """Compare the record with what is worked out now, one finding a circuit."""
    old = context.vehicle.record
    if old is None:
        return
    new = record_of(context.vehicle, context.harness, context.sizing)
    for found in alterations(old, new):
        circuit = context.vehicle.circuits.get(found.circuit)
        verb = {"removed": "is no longer described", "added": "is new"}.get(found.kind, "differs")
        yield Finding(
            RULE, "note" if found.kind == "added" else "warning", found.circuit,
            f"The harness was built at revision {old.revision}, and {found.circuit} {verb}: "
            f"{'; '.join(found.what)}.",
            "Rework the harness and record it again (buildbook record --rework), or take the "
            "change back.",
            SOURCE, circuit.where if circuit else Where(RECORD),
        )  # fmt: skip
