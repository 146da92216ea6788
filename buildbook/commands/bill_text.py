"""How a price is printed: as text, as a table, as data."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict
from decimal import Decimal
from textwrap import fill

from buildbook.export.buying import bill_data, part_rows
from buildbook.export.tables import table
from buildbook.figures import METRIC, Units, counted, squared
from buildbook.parts.comparison import VariantFigures
from buildbook.parts.model import Bill, BillLine, Order
from buildbook.parts.money import ROUNDING
from buildbook.parts.wire_kinds import wire_kinds
from buildbook.result import Priced

INDENT = " " * 6

ROWS: tuple[tuple[str, Callable[[VariantFigures, Units], str]], ...] = (
    ("Net", lambda f, _: f"{f.net:.2f} {f.currency}"),
    ("Total with carriage and tax", lambda f, _: f"{f.total:.2f} {f.currency}"),
    ("Needs without a price", lambda f, _: str(f.without_price)),
    ("Mass of wire", lambda f, _: f"{f.wire_kg:.2f} kg"),
    ("Mass of parts that say theirs", lambda f, _: f"{f.parts_kg:.2f} kg ({f.with_mass})"),
    ("Wires", lambda f, _: str(f.wires)),
    ("Wire as cut", lambda f, units: units.reel(f.wire_m, 1)),
    ("Crimps", lambda f, _: str(f.crimps)),
    ("Connectors", lambda f, _: str(f.connectors)),
    ("Fuses", lambda f, _: str(f.fuses)),
    ("Relays", lambda f, _: str(f.relays)),
    ("Findings: errors", lambda f, _: str(f.errors)),
    ("Findings: warnings", lambda f, _: str(f.warnings)),
    ("Findings: notes", lambda f, _: str(f.notes)),
)
"""What is compared, in this order, and how it reads."""


def bill_text(priced: Priced, form: str) -> str:
    """The bill as 'text', 'csv' (one row a line) or 'json'."""
    if form == "csv":
        return table(part_rows(priced))
    if form == "json":
        data = {"parts": part_rows(priced), **bill_data(priced.bill)}
        return json.dumps(data, indent=1, ensure_ascii=False) + "\n"
    return "\n".join(_text(priced)) + "\n"


def compared_text(columns: Sequence[VariantFigures], form: str, units: Units = METRIC) -> str:
    """Figures side by side: a column a variant as text or table, an object each as JSON."""
    if form == "json":
        found = [
            {k: str(v) if isinstance(v, Decimal) else v for k, v in asdict(c).items()}
            for c in columns
        ]
        return json.dumps(found, indent=1, ensure_ascii=False) + "\n"
    rows = [["", *(c.name for c in columns)]]
    rows += [[title, *(show(c, units) for c in columns)] for title, show in ROWS]
    if form == "csv":
        return table([dict(zip(["figure", *rows[0][1:]], row, strict=True)) for row in rows[1:]])
    return "\n".join(aligned(rows)) + "\n"


def aligned(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """The first column to the left, the others to the right."""
    wide = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    for row in rows:
        cells = [row[0].ljust(wide[0])]
        cells += [cell.rjust(w) for cell, w in zip(row[1:], wide[1:], strict=True)]
        yield "  ".join(cells).rstrip()


def _text(priced: Priced) -> Iterator[str]:
    bill, written = priced.bill, priced.vehicle.description
    vehicle = written.vehicle
    built = f", variant {vehicle.variant}" if vehicle.variant else ""
    yield f"{vehicle.name}, revision {vehicle.revision}{built}, {bill.currency}"
    for order in bill.orders:
        supplier = written.suppliers.get(order.supplier)
        yield ""
        yield from _order(
            order, supplier.name if supplier else "No supplier named", vehicle.measures
        )
    yield ""
    yield from aligned(
        [
            ["Net", f"{bill.net:.2f}"],
            ["Carriage", f"{bill.carriage:.2f}"],
            ["Tax", f"{bill.tax:.2f}"],
            ["Total of what is priced", f"{bill.total:.2f}"],
        ]
    )
    yield ROUNDING
    yield from _kinds(bill)
    yield from _unproven(bill)
    yield from _open(bill)


def _kinds(bill: Bill) -> Iterator[str]:
    """Kinds of wire, and what fewer of them would save."""
    found = wire_kinds(bill)
    if found:
        yield (
            f"Wire of {found.kinds} kinds in {found.colours} colours, {found.for_one} of them for "
            f"a single wire: {found.packs} packs. In one colour a size {found.fewest_packs} would "
            f"do, for up to {found.saved:.2f} {bill.currency} less before tax (`wire: colours` "
            "and `sizes` name what you buy, `reels` what you own)."
        )
    saved = bill.reels_save
    if saved:
        beside = (
            f", and {counted(saved.unpriced, 'wire')} without a price" if saved.unpriced else ""
        )
        yield (
            f"Without the reels on the shelf the same wires would cost {saved.total:.2f} "
            f"{bill.currency} more, with carriage and tax{beside}."
        )


def _order(order: Order, name: str, units: Units) -> Iterator[str]:
    days = f", {order.lead_days} days" if order.lead_days is not None else ""
    yield f"{name} ({order.currency}{days})"
    rows = list(aligned([_row(line, units) for line in order.lines]))
    for line, row in zip(order.lines, rows, strict=True):
        yield row
        if line.colours:
            yield fill(line.in_colours, 78, initial_indent=INDENT, subsequent_indent=INDENT)
    asked = order.asked
    yield (
        f"  net {asked.net:.2f}, carriage {asked.carriage:.2f}, tax {asked.tax:.2f}, "
        f"total {asked.total:.2f} {order.currency}"
    )


def _row(line: BillLine, units: Units) -> list[str]:
    held = units.bare_pack(line.pack, line.need.unit)
    held = f"{held}m" if line.need.unit == "m" and not units.inches else held
    price = "missing" if line.pack_price is None else f"{line.pack_price:.2f}"
    asked = "missing" if line.asked is None else f"{line.asked:.2f}"
    old = " (old price)" if line.old else ""
    what = squared(line.what)
    what = what if len(what) <= 48 else what[:47] + "…"
    return [f"  {line.part}  {what}{old}", f"{line.packs} x {held}", price, asked]


def _unproven(bill: Bill) -> Iterator[str]:
    """Where a search ended before it knew that nothing is cheaper, or needs fewer reels."""
    if not bill.least:
        most = "by an unknown share" if bill.gap is None else f"by at most {bill.gap:.2%}"
        yield f"The search for the least total ended early: another choice may cost less, {most}."
    if bill.perhaps_fewer:
        yield "The search for the fewest reels ended early; fewer may do for:"
        yield from (f"  {squared(what)}" for what in bill.perhaps_fewer)


def _open(bill: Bill) -> Iterator[str]:
    """What the total leaves out."""
    if not bill.missing:
        yield "Every need has a price."
        return
    yield f"Not in the total, {counted(len(bill.missing), 'need')} without a price:"
    why = dict(bill.unserved)
    for key in bill.missing:
        yield f"  {squared(key)}" + (f" ({why[key]})" if key in why else "")
