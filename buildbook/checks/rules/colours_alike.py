"""Finds small connectors in which two wires have one colour."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import plug_of
from buildbook.checks.stages import Assessed
from buildbook.harness.colours import SMALL
from buildbook.words.say import say

RULE = "colours-alike"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: where two wires of a small plug look alike, one day they are swapped"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare the colours at each connector; wires of one circuit may be alike."""
    at: dict[str, list[tuple[str, str, str]]] = {}
    for wire in assessed.harness.wires.values():
        for end in (wire.a, wire.b):
            if end.connector:
                at.setdefault(end.connector, []).append((wire.colour, wire.circuit, wire.id))
    for connector_id, found in at.items():
        connector = assessed.harness.connectors[connector_id]
        if not 1 < len(connector.pins) <= SMALL:
            continue
        twins = [(a, b) for a, b in combinations(sorted(found), 2) if a[0] == b[0] and a[1] != b[1]]
        if twins:
            a, b = twins[0]
            alike = {"wire": a[2], "circuit": a[1], "other": b[2], "other_circuit": b[1]}
            more = len(twins) - 1
            yield Finding(
                RULE,
                "note",
                connector_id,
                say(
                    "In {plug}, wires {wire} ({circuit}) and {other} ({other_circuit}) are both "
                    "{colour}; {more} more pairs are alike.",
                    plug=plug_of(connector),
                    colour=a[0],
                    more=more,
                    **alike,
                )
                if more
                else say(
                    "In {plug}, wires {wire} ({circuit}) and {other} ({other_circuit}) are both "
                    "{colour}.",
                    plug=plug_of(connector),
                    colour=a[0],
                    **alike,
                ),
                say(
                    "Give one circuit another colour (colour: …), or tell them by their "
                    "labels: {a} and {b}.",
                    a=a[2],
                    b=b[2],
                ),
                SOURCE,
                connector.where,
            )
