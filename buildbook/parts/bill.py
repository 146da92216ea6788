"""The priced bill of materials: which part serves each need, how many packs, what it costs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from math import fsum

from buildbook.description import models as written
from buildbook.harness.finishing import FinishedRun
from buildbook.harness.model import Harness
from buildbook.parts.bill_lines import bill_lines
from buildbook.parts.choose_offers import Purchase, choose_offers
from buildbook.parts.cost_shares import by_harness, by_kind, by_system
from buildbook.parts.cutting_plans import cutting_plan
from buildbook.parts.model import (
    Bill,
    BillLine,
    CarriedSpare,
    CuttingPlan,
    Need,
    ReelsSave,
    Stock,
)
from buildbook.parts.money import rounded
from buildbook.parts.needs import needs
from buildbook.parts.net_needs import NetNeed, demands_and_offers, net_needs, priced, supplier_terms
from buildbook.parts.orders import added, orders_of
from buildbook.parts.prices import rate
from buildbook.parts.serving import with_carried
from buildbook.parts.spares import carried
from buildbook.parts.stock import StockTaken, take_stock
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle


def price(
    vehicle: Vehicle, harness: Harness, sizing: Sizing, finished_runs: Mapping[str, FinishedRun]
) -> Bill:
    """Return what to buy for a vehicle, with costs in its currency."""
    return make_bill(needs(vehicle, harness, sizing, finished_runs), vehicle.description)


def make_bill(wanted: tuple[Need, ...], description: written.Description) -> Bill:
    """Choose parts, packs and suppliers for the least total, and add it up by order.

    Owned stock is used first. A need without a priced part costs nothing here and is listed
    as missing.
    """
    parts, choice = description.parts, description.vehicle.wire
    wanted = _with_spares_box(wanted, parts)
    taking = take_stock(wanted, parts, choice)
    found = net_needs(wanted, parts, taking)
    bought = _bought(found, description)
    plans = _plans(found, bought, parts)
    lines = tuple(_less_cut(line, plans) for line in bill_lines(found, bought, description))
    orders = orders_of(lines, description)
    sums = added(order.home for order in orders)
    missing = _missing(lines)
    return Bill(
        lines=lines,
        net=sums.net,
        carriage=sums.carriage,
        tax=sums.tax,
        total=sums.total,
        missing=missing,
        currency=description.vehicle.currency,
        by_kind=by_kind(lines),
        by_system=by_system(lines),
        by_harness=by_harness(lines),
        orders=orders,
        needs=wanted,
        plans=plans,
        stock=tuple(_with_cuts(row, taking, plans) for row in taking.stock),
        spares_box=tuple(_spares_box(wanted, lines, description)),
        unserved=tuple((d.need.key, d.why_none) for d in found if d.why_none and not d.is_met),
        gap=bought.gap,
        reels_save=_saved(wanted, description, sums.total, missing) if choice.reels else None,
    )


def _bought(found: tuple[NetNeed, ...], description: written.Description) -> Purchase:
    """What is bought of these needs."""
    unmet = tuple(d for d in found if not d.is_met and priced(d, description.parts))
    return choose_offers(*demands_and_offers(unmet, description), supplier_terms(description))


def _less_cut(line: BillLine, plans: Iterable[CuttingPlan]) -> BillLine:
    """The line without the metres that are cut from owned lengths, which are there already."""
    sources = [s for plan in plans if plan.key in line.keys for s in plan.sources if s.owned]
    cut = fsum(cut.length_m for source in sources for cut in source.cuts)
    if not line.quantity or not cut:
        return line
    return replace(line, quantity=round(line.quantity - cut, 3), owned=round(line.owned + cut, 3))


def _missing(lines: Iterable[BillLine]) -> tuple[str, ...]:
    """Keys of the needs without a price."""
    return tuple(sorted(key for line in lines if line.cost is None for key in line.keys))


def _saved(
    wanted: tuple[Need, ...],
    description: written.Description,
    total: Decimal,
    missing: tuple[str, ...],
) -> ReelsSave:
    """What the same wires would cost more than `total` with no reel on the shelf."""
    bare = description.vehicle.wire.model_copy(update={"reels": []})
    found = net_needs(wanted, description.parts, take_stock(wanted, description.parts, bare))
    lines = bill_lines(found, _bought(found, description), description)
    more = set(_missing(lines)) - set(missing)
    orders = orders_of(lines, description)
    return ReelsSave(added(order.home for order in orders).total - total, len(more))


def lacking(
    wanted: tuple[Need, ...], description: written.Description
) -> tuple[tuple[str, ...], tuple[tuple[str, str], ...]]:
    """Needs without a price and needs that no part meets, as in a bill, without choosing parts."""
    parts = description.parts
    wanted = _with_spares_box(wanted, parts)
    taking = take_stock(wanted, parts, description.vehicle.wire)
    unmet = [d for d in net_needs(wanted, parts, taking) if not d.is_met]
    return (
        tuple(sorted(d.need.key for d in unmet if not priced(d, parts))),
        tuple((d.need.key, d.why_none) for d in unmet if d.why_none),
    )


def _with_spares_box(wanted: tuple[Need, ...], parts: dict[str, written.Part]) -> tuple[Need, ...]:
    """The needs with what is carried of each."""
    known = {need.key for need in wanted}
    return tuple(with_carried(n, parts, _carried_by_rule(n, parts, known)) for n in wanted)


def _carried_by_rule(need: Need, parts: dict[str, written.Part], known: set[str]) -> float:
    """By the need's kind; a named part counts as the kind that it serves, if nothing else does."""
    part = parts.get(need.key.removeprefix("part "))
    if not need.key.startswith("part ") or part is None:
        return carried(need.key)
    return max((carried(key) for key in part.serves if key not in known), default=0.0)


def _plans(
    found: Iterable[NetNeed], bought: Purchase, parts: dict[str, written.Part]
) -> tuple[CuttingPlan, ...]:
    """How to cut every wire and cable, from the part that was bought for it."""
    plans = []
    for net in found:
        if not net.need.pieces or (net.why_none and not net.is_on_reels):
            continue
        if net.is_on_reels:
            made = cutting_plan(net.need, "", net.need.what, 0.0, False, net.lengths_m)
            plans += [made] if made else []
            continue
        chosen = [part for key, part in bought.met if key == net.need.key]
        part = parts[(chosen or net.parts)[0]]
        made = cutting_plan(
            net.need,
            (chosen or net.parts)[0],
            part.what,
            part.pack,
            part.in_one_length,
            net.lengths_m,
        )
        plans += [made] if made else []
    return tuple(plans)


def _with_cuts(row: Stock, taking: StockTaken, plans: Iterable[CuttingPlan]) -> Stock:
    """Stock with what the cutting plans take of its lengths."""
    taken = row.taken
    for plan in plans:
        given = list(taking.lengths.get(plan.key, ()))
        for source in (s for s in plan.sources if s.owned):
            mine = next(pair for pair in given if pair[0] == source.length_m)
            given.remove(mine)
            if mine[1] == row.part and row.key in ("", plan.key):
                taken += fsum(cut.length_m for cut in source.cuts)
    return replace(row, taken=round(taken, 3))


def _spares_box(
    wanted: Iterable[Need],
    lines: Iterable[BillLine],
    description: written.Description,
) -> Iterable[CarriedSpare]:
    """What is carried to the track, at its share of the pack it comes in."""
    line_of = {key: line for line in lines for key in line.keys}
    for need in wanted:
        if not need.carried:
            continue
        line, cost = line_of[need.key], None
        if line.pack_price is not None:
            each = line.pack_price * rate(line.currency, description)
            cost = rounded(each * Decimal(str(need.carried)) / Decimal(str(line.pack)))
        yield CarriedSpare(need.what, line.part, need.carried, need.unit, cost)
