"""Rows about buying: parts, needs, cutting, orders, and all of it as one object."""

from __future__ import annotations

from typing import Any

from buildbook.figures import whole_mm
from buildbook.parts.model import Bill
from buildbook.result import Priced


def part_rows(priced: Priced) -> list[dict[str, Any]]:
    """One row a line of the bill; a missing price stays empty."""
    return [
        {
            "need": line.need.key,
            "what": line.what,
            "quantity": round(line.need.quantity, 3),
            "spare": line.need.spare,
            "carried": line.need.carried,
            "owned": line.owned,
            "unit": line.need.unit,
            "part": line.part,
            "in_place_of": line.in_place_of,
            "supplier": line.supplier,
            "packs": line.packs,
            "pack": line.pack,
            "pack_price": "" if line.pack_price is None else str(line.pack_price),
            "currency": line.currency,
            "cost": "" if line.cost is None else str(line.cost),
            "price_of": line.dated.isoformat() if line.dated else "",
            "price_is_old": "yes" if line.old else "",
            "lead_days": "" if line.lead_days is None else line.lead_days,
            "used_by": " ".join(line.need.used_by),
        }
        for line in priced.bill.lines
    ]


def need_rows(bill: Bill) -> list[dict[str, Any]]:
    """One row a need: what goes into the vehicle, and what is bought beside it."""
    return [
        {
            "need": need.key,
            "quantity": need.quantity,
            "spare": need.spare,
            "carried": need.carried,
            "unit": need.unit,
        }
        for need in bill.needs
    ]


def cutting_rows(bill: Bill) -> list[dict[str, Any]]:
    """One row a piece: the reel or owned length it is cut from, and where on it."""
    return [
        {
            "wire": plan.key,
            "part": plan.part,
            "from": source.name,
            "from_length_m": source.length_m,
            "piece": cut.piece,
            "harness": cut.harness,
            "start_m": round(cut.start_m, 3),
            "cut_length_m": whole_mm(cut.length_m) / 1000,
            "left_m": round(source.left_m, 3),
        }
        for plan in bill.plans
        for source in plan.sources
        for cut in source.cuts
    ]


def order_rows(bill: Bill) -> list[dict[str, Any]]:
    """One row an order: its sums in its own currency and its total in the vehicle's."""
    return [
        {
            "supplier": order.supplier,
            "lines": len(order.lines),
            "without_price": order.unpriced,
            "currency": order.currency,
            "net": str(order.asked.net),
            "carriage": str(order.asked.carriage),
            "tax": str(order.asked.tax),
            "total": str(order.asked.total),
            "total_home": str(order.home.total),
            "lead_days": "" if order.lead_days is None else order.lead_days,
        }
        for order in bill.orders
    ]


def bill_data(bill: Bill) -> dict[str, Any]:
    """Everything about buying as one JSON object."""
    return {
        "currency": bill.currency,
        "net": str(bill.net),
        "carriage": str(bill.carriage),
        "tax": str(bill.tax),
        "total": str(bill.total),
        "least_total_proven": bill.least,
        "by_kind": {key: str(value) for key, value in bill.by_kind.items()},
        "by_system": {key: str(value) for key, value in bill.by_system.items()},
        "by_harness": {key: str(value) for key, value in bill.by_harness.items()},
        "orders": order_rows(bill),
        "needs": need_rows(bill),
        "cutting": cutting_rows(bill),
        "stock": [
            {"part": s.part, "what": s.what, "there": s.there, "taken": s.taken, "unit": s.unit}
            for s in bill.stock
        ],
        "reels_save": "" if bill.reels_save is None else str(bill.reels_save.total),
        "spares_box": [
            {
                "what": c.what,
                "part": c.part,
                "quantity": c.quantity,
                "cost": "" if c.cost is None else str(c.cost),
            }
            for c in bill.spares_box
        ],
        "missing_prices": list(bill.missing),
        "unserved": dict(bill.unserved),
    }
