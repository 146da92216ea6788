"""What goes into the bag of each harness, and which tools are wanted on the bench."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from math import fsum

from buildbook.parts.keys import colour_of
from buildbook.parts.model import Bill, BillLine


@dataclass(frozen=True)
class KitItem:
    """So much of one part; `part` is '' where none serves it."""

    part: str
    what: str
    quantity: float
    unit: str
    colours: tuple[tuple[str, float], ...] = ()
    """Of wire: how many metres of each colour."""


def kits(bill: Bill) -> dict[str, tuple[KitItem, ...]]:
    """Harness id -> what is fitted to it, by part; spares stay in the box."""
    line_of = first_lines(bill)
    found: dict[str, dict[tuple[str, str, str], dict[str, float]]] = defaultdict(dict)
    for need in bill.needs:
        line = line_of[need.key]
        colour = colour_of(need.key)
        for use in need.uses:
            if use.harness:
                item = line.what, line.part, need.unit
                by_colour = found[use.harness].setdefault(item, defaultdict(float))
                by_colour[colour] += use.quantity
    return {harness: _items(found[harness]) for harness in sorted(found)}


def _items(found: dict[tuple[str, str, str], dict[str, float]]) -> tuple[KitItem, ...]:
    return tuple(
        KitItem(
            part,
            what,
            round(fsum(by_colour.values()), 3),
            unit,
            tuple((c, round(m, 3)) for c, m in sorted(by_colour.items()) if c),
        )
        for (what, part, unit), by_colour in sorted(found.items())
    )


def tool_lines(bill: Bill) -> tuple[BillLine, ...]:
    """Lines of the bill that are tools, to buy or owned."""
    return tuple(line for line in bill.lines if line.keys[0].startswith("tool "))


def first_lines(bill: Bill) -> dict[str, BillLine]:
    """Need key -> the first line that serves it."""
    found: dict[str, BillLine] = {}
    for line in bill.lines:
        for key in line.keys:
            found.setdefault(key, line)
    return found
