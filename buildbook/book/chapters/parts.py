"""Parts and cost: the priced bill of materials."""

from __future__ import annotations

from decimal import Decimal

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import unique
from buildbook.parts.model import Line
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    lines = result.bill.lines
    suppliers = result.vehicle.description.suppliers
    groups = [
        (suppliers.get(name), name, mine, subtotal(mine), sum(line.cost is None for line in mine))
        for name in unique(line.supplier for line in lines)
        if (mine := [line for line in lines if line.supplier == name])
    ]
    cost = drawings.cost
    context = {
        "bill": result.bill,
        "groups": groups,
        "unpriced": sum(line.cost is None for line in lines),
        "cost": cost,
    }
    shown = (cost,) if cost else ()
    return (Chapter("parts", "Parts and cost", "parts.html", context, shown),)


def subtotal(lines: list[Line]) -> Decimal:
    """Net cost of the lines that have a price."""
    return sum((line.cost for line in lines if line.cost is not None), Decimal(0))
