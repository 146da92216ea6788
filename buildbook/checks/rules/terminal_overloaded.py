"""Finds terminals whose wire brings more current than the contact family carries."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.catalogue.load import contact_families
from buildbook.checks.context import Context
from buildbook.checks.model import Finding

RULE = "terminal-overloaded"


def check(context: Context) -> Iterator[Finding]:
    """Compare each wire's heating current with the contacts at its ends."""
    for wire in context.harness.wires.values():
        current, state = context.solved.wire_current(wire.id)
        for end in (wire.a, wire.b):
            family = contact_families().get(end.contact)
            if family is None or current <= family.amps + 1e-9:
                continue
            yield Finding(
                RULE, "error", end.node,
                f"The {family.title} at {end.node} carries {current:.1f} A from wire {wire.id} in "
                f"'{state}'; it is good for {family.amps:g} A.",
                "Use a larger contact, or share the current between several pins.",
                family.source, context.vehicle.circuits[wire.circuit].where,
            )  # fmt: skip
