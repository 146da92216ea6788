"""The order pack: its cover, and an order for each supplier on sheets that can be sent."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.chapters.parts import order_number, variant_title
from buildbook.book.drawings import Drawings
from buildbook.description.models import Supplier
from buildbook.parts.model import Order
from buildbook.parts.money import ROUNDING
from buildbook.result import Result
from buildbook.words.say import say


def cover(result: Result, _drawings: Drawings) -> tuple[Chapter, ...]:
    """What is ordered from whom, what it comes to, and what is not in it."""
    context = {
        "bill": result.bill,
        "orders": _numbered(result),
        "why": {key: say(why) for key, why in result.bill.unserved},
        "rounding": say(ROUNDING),
        "variant": variant_title(result),
    }
    return (Chapter("contents", say("Order pack"), "order_cover.html", context),)


def chapters(result: Result, _drawings: Drawings) -> tuple[Chapter, ...]:
    """One order a supplier; what no supplier is named for is not ordered."""
    return tuple(
        Chapter(
            f"order-{number}",
            say("Order {number}: {supplier}", number=number, supplier=supplier.name),
            "order.html",
            {"order": order, "supplier": supplier, "number": number, "bill": result.bill},
        )
        for number, supplier, order in _numbered(result)
        if supplier
    )


def _numbered(result: Result) -> list[tuple[str, Supplier | None, Order]]:
    """(number, supplier or None, order) of every order."""
    suppliers = result.vehicle.description.suppliers
    return [
        (order_number(result, result.bill, order.supplier), suppliers.get(order.supplier), order)
        for order in result.bill.orders
    ]
