"""The tables of a book that are compared, told by what stands over their columns."""

from __future__ import annotations

import re

from buildbook.audit.model import Kind
from buildbook.figures import Units
from buildbook.words.say import mark, say

WIRE, COLOUR, SIZE, FUSE = mark("Wire"), mark("Colour"), mark("Size"), mark("Fuse")
CUT = "Cut mm"
AREA = "mm² AWG"
"""Head of sizes without their unit."""
NUMBERED = r"\d+[a-z]*"
OF_PIN = r"[^·]+\.[^·]+"
CIRCUIT_WIRES = Kind(
    "wires of a circuit",
    (mark("Circuit"), WIRE, COLOUR, AREA, mark("From"), mark("To"), mark("Harness"), CUT, FUSE),
    1,
    frozenset({7}),
    NUMBERED,
)
MAIN_CABLES = Kind(
    "main cables",
    (
        WIRE,
        COLOUR,
        SIZE,
        mark("From"),
        mark("To"),
        CUT,
        mark("Heating current"),
        FUSE,
        mark("Dead short, lasts"),
    ),
    0,
    frozenset({5, 6}),
    NUMBERED,
)
CUTS = Kind(
    "cut list",
    (
        WIRE,
        COLOUR,
        AREA,
        mark("Length"),
        mark("Label, end A"),
        mark("Label, end B"),
        mark("Sleeve"),
        mark("From – to"),
    ),
    0,
    frozenset({3}),
    rf"{NUMBERED}|.*-\d+",
    frozenset({2}),
    frozenset({0, 4, 5}),
)
LENGTHS = Kind(
    "lengths",
    (WIRE, CUT, mark("Along"), mark("Made up of")),
    0,
    frozenset({1}),
    rf"{NUMBERED}|.*-\d+",
)
AT_AN_END = (mark("Cavity"), WIRE, COLOUR, AREA, mark("Pull N"), mark("Circuit, use"))
CONNECTOR_TITLE = re.compile(r"[\w./+-]+:\D")
STUDS = Kind("studs", (mark("Onto"), *AT_AN_END[1:5]), 0, frozenset({4}), OF_PIN)
FUSES = Kind(
    "fuses",
    (FUSE, mark("Rating"), COLOUR, mark("Place"), mark("What it is"), mark("Load"), mark("Feeds")),
    0,
    frozenset({1, 5}),
)
PARTS = Kind(
    "parts",
    (
        mark("Part"),
        mark("What it is"),
        mark("Serves"),
        mark("To buy"),
        mark("Packs"),
        mark("Pack"),
        mark("Cost"),
    ),
    0,
    frozenset({3, 4, 5, 6}),
    unbroken=frozenset({4, 5}),
)
ORDERS = Kind(
    "orders",
    (mark("Line"), mark("Our part"), mark("What"), mark("Packs"), mark("Each"), mark("Amount")),
    1,
    frozenset({0, 3, 4, 5}),
    unbroken=frozenset({0, 3}),
)
OF_LOADS = (mark("Load"), mark("What it is, what it does"))
OF_TERMINALS = (
    mark("Device"),
    mark("Pin"),
    mark("Wire, colour, size"),
    mark("Terminal"),
    AT_AN_END[5],
)
ELSEWHERE = mark("Elsewhere, about")
TABLES = (CIRCUIT_WIRES, MAIN_CABLES, CUTS, LENGTHS, STUDS, FUSES, PARTS, ORDERS)
OURS = {
    *(head for table in TABLES for head in table.heads),
    *(*AT_AN_END, *OF_LOADS, *OF_TERMINALS, ELSEWHERE),
}
"""Heads that are no author's: a state is called as it is written."""


def said_head(kind: Kind, head: str, units: Units) -> str:
    """A head as a book in these units says it."""
    if head == CUT:
        return say("Cut {unit}", unit=units.short)
    if head == AREA:
        return "AWG" if units.gauges else AREA
    if head == FUSE and kind in (CIRCUIT_WIRES, FUSES):
        return say("Fuse", context="narrow column")
    if kind is FUSES and head == "Load":
        return say("Load", context="current")
    return say(head) if head in OURS else head
