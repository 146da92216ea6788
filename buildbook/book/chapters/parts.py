"""Parts and cost: the bill by supplier, stock, cutting plans, kits, tools and the spares box."""

from __future__ import annotations

from decimal import Decimal

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.parts.device_needs import without_part
from buildbook.parts.kits import kits, tool_lines
from buildbook.parts.model import Bill, CarriedSpare
from buildbook.parts.money import ROUNDING
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    bill, cost = result.bill, drawings.cost
    suppliers = result.vehicle.description.suppliers
    context = {
        "bill": bill,
        "orders": [(suppliers.get(order.supplier), order) for order in bill.orders],
        "unpriced": sum(line.cost is None for line in bill.lines),
        "old": sum(line.old for line in bill.lines),
        "loose": [line for line in bill.lines if not line.packs and line.cost is None],
        "why": dict(bill.unserved),
        "rounding": ROUNDING,
        "cost": cost,
        "kits": kits(bill),
        "harnesses": result.vehicle.description.rope,
        "tools": tool_lines(bill),
        "box": box_cost(bill.spares_box),
        "not_bought": without_part(result.vehicle),
        "variant": variant_title(result),
    }
    shown = (cost,) if cost else ()
    return (Chapter("parts", "Parts and cost", "parts.html", context, shown),)


def box_cost(box: tuple[CarriedSpare, ...]) -> tuple[Decimal, int]:
    """What the spares box is worth, and how many of its items have no price."""
    priced = [item.cost for item in box if item.cost is not None]
    return sum(priced, Decimal(0)), len(box) - len(priced)


def variant_title(result: Result) -> str:
    """What the variant that is built is called; '' where it is built as written."""
    description = result.vehicle.description
    name = description.vehicle.variant
    written = description.variants.get(name or "")
    return (written.title or name or "") if written else ""


def order_number(result: Result, bill: Bill, supplier: str) -> str:
    """What an order is called: the revision, and its place among the orders."""
    names = [order.supplier for order in bill.orders]
    return f"{result.vehicle.description.vehicle.revision}-{names.index(supplier) + 1}"
