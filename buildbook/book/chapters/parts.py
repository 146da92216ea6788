"""Parts and cost: the priced bill of materials."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import unique
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    lines = result.bill.lines
    suppliers = result.vehicle.description.suppliers
    groups = [
        (suppliers.get(name), name, [line for line in lines if line.supplier == name])
        for name in unique(line.supplier for line in lines)
    ]
    context = {"bill": result.bill, "groups": groups}
    return (Chapter("parts", "Parts and cost", "parts.html", context),)
