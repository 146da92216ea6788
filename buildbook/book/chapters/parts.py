"""Parts and cost: the bill by supplier, stock, cutting plans, tools and the spares box."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.drawing.shared.model import Drawing
from buildbook.figures import Units
from buildbook.parts.device_needs import without_part
from buildbook.parts.keys import colour_of
from buildbook.parts.kits import KitItem, kits, tool_lines
from buildbook.parts.model import Bill, BillLine, CarriedSpare, CuttingPlan
from buildbook.parts.money import ROUNDING
from buildbook.parts.wire_kinds import wire_kinds
from buildbook.result import Result
from buildbook.words.say import mark, say

NO_PRICE = mark("no price")
Thing = tuple[str, str]
"""What is to be ticked in a list that names no parts, and how much of it; '' where it is one."""


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    """As the whole book has it: what is gathered for a harness stands with its build sheets."""
    return (_chapter(result, None, ordered=False),)


def of_order_pack(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    """As the order pack has it: the orders are pages of their own there, and kits are bagged."""
    return (_chapter(result, drawings.first("cost"), ordered=True),)


def _chapter(result: Result, cost: Drawing | None, ordered: bool) -> Chapter:
    bill = result.bill
    suppliers = result.vehicle.description.suppliers
    context = {
        "bill": bill,
        "ordered": ordered,
        "kinds": wire_kinds(bill),
        "orders": [(suppliers.get(order.supplier), order) for order in bill.orders],
        "priced": sum(line.cost is not None for line in bill.lines),
        "old": sum(line.old for line in bill.lines),
        "loose": loose_by_reason(bill),
        "rounding": say(ROUNDING),
        "cost": cost,
        "cuts": cuts_by_part(bill),
        "guessed": {w.id for w in result.harness.wires.values() if w.is_estimate},
        "kits": {h: kit_rows(items) for h, items in kits(bill).items()} if ordered else {},
        "harnesses": result.vehicle.description.rope,
        "tools": tool_lines(bill),
        "tool_names": nameless_tools(bill),
        "box": box_cost(bill.spares_box),
        "bare_box": nameless_box(bill.spares_box, result.vehicle.measures),
        "not_bought": without_part(result.vehicle),
        "variant": variant_title(result),
    }
    shown = (cost,) if cost else ()
    return Chapter("parts", say("Parts and cost"), "parts.html", context, shown)


@dataclass
class Loose:
    """What cannot be ordered for one reason: what is one thing, then the wire by its colours."""

    plain: list[BillLine] = field(default_factory=list)
    wire: dict[str, list[tuple[str, float]]] = field(default_factory=dict)
    """What it is without its colour -> colours and metres."""

    def things(self, units: Units) -> list[Thing]:
        """What is one thing, and how much of it."""
        return [
            (line.need.what, units.quantity(line.quantity, line.need.unit)) for line in self.plain
        ]


def loose_by_reason(bill: Bill) -> dict[str, Loose]:
    """What is needed and cannot be ordered, by why; tools have a list of their own."""
    why = dict(bill.unserved)
    found: dict[str, Loose] = {}
    for line in bill.lines:
        if line.packs or line.cost is not None or line.need.key.startswith("tool "):
            continue
        there = found.setdefault(say(why.get(line.keys[0], NO_PRICE)), Loose())
        if colour := colour_of(line.need.key):
            what = line.need.what.removesuffix(f", {colour}")
            there.wire.setdefault(what, []).append((colour, line.quantity))
        else:
            there.plain.append(line)
    return found


@dataclass(frozen=True)
class KitRows:
    """What is fitted to one harness: what is one thing, then the wire, colour by colour."""

    plain: tuple[KitItem, ...]
    by_colour: tuple[KitItem, ...]


def kit_rows(items: tuple[KitItem, ...]) -> KitRows:
    return KitRows(
        tuple(item for item in items if not item.colours),
        tuple(item for item in items if item.colours),
    )


def cuts_by_part(bill: Bill) -> dict[str, list[CuttingPlan]]:
    """The cutting plans of each part, parts from A to Z; before them what is on reels of none."""
    found: dict[str, list[CuttingPlan]] = {}
    for plan in sorted(bill.plans, key=lambda plan: plan.part):
        found.setdefault(plan.part or plan.title, []).append(plan)
    return found


def box_cost(box: tuple[CarriedSpare, ...]) -> tuple[Decimal, int]:
    """What the spares box is worth, and how many of its items have no price."""
    priced = [item.cost for item in box if item.cost is not None]
    return sum(priced, Decimal(0)), len(box) - len(priced)


def nameless_box(box: tuple[CarriedSpare, ...], units: Units) -> list[Thing]:
    """What is in the spares box, where nothing of it has a part or a price to tell."""
    if any(item.part or item.cost is not None for item in box):
        return []
    return [(item.what, units.quantity(item.quantity, item.unit)) for item in box]


def nameless_tools(bill: Bill) -> list[Thing]:
    """The tools, where no part serves any of them."""
    tools = tool_lines(bill)
    return [] if any(line.part for line in tools) else [(line.what, "") for line in tools]


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
