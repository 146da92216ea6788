"""Lines of the bill: what is bought, what has no price, and what is there already."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from math import ceil, fsum

from buildbook.description import models as written
from buildbook.parts.choose_offers import Purchase
from buildbook.parts.keys import colour_of
from buildbook.parts.model import BillLine, Need
from buildbook.parts.money import rounded
from buildbook.parts.net_needs import NetNeed, priced
from buildbook.parts.prices import currency_of, is_old, price_at, prices, rate, supplier_currency
from buildbook.parts.serving import stands_in_for


def bill_lines(
    found: tuple[NetNeed, ...], bought: Purchase, description: written.Description
) -> tuple[BillLine, ...]:
    """Every line of the bill, in the order of the needs."""
    lines = [
        *_bought(found, bought, description),
        *_without_price(found, description),
        *_owned(found, description),
    ]
    place = {net.need.key: n for n, net in enumerate(found)}
    return tuple(sorted(lines, key=lambda line: (place[line.keys[0]], line.part)))


def _bought(
    found: tuple[NetNeed, ...], bought: Purchase, description: written.Description
) -> Iterator[BillLine]:
    first: dict[str, str] = {}
    for key, offer in bought.met:
        first.setdefault(key, offer)
    for part, packs in bought.packs.items():
        mine = [d for d in found if (d.need.key, part) in bought.met]
        if not mine:
            continue
        quantity = fsum(bought.met[d.need.key, part] for d in mine)
        owned = fsum(d.taken for d in mine if first[d.need.key] == part)
        line = _line(mine, part, packs, description)
        yield replace(line, quantity=round(quantity, 3), owned=owned)


def _without_price(
    found: tuple[NetNeed, ...], description: written.Description
) -> Iterator[BillLine]:
    """Needs that nothing priced serves: one line a part, a wire, or a need without a part."""
    groups: dict[tuple[str, str], list[NetNeed]] = defaultdict(list)
    for net in found:
        if net.is_met or priced(net, description.parts):
            continue
        part = "" if net.why_none else net.parts[0]
        groups[part, "" if part else net.need.key].append(net)
    for (part, _), mine in groups.items():
        left = fsum(d.left for d in mine)
        if not part:
            need = mine[0].need
            yield BillLine(need, (need.key,), "", need.what, "", 0, 0, None, None, quantity=left)
            continue
        packs = sum(d.packs.get(part, 0) for d in mine) or ceil(
            left / description.parts[part].pack - 1e-6
        )
        line = _line(mine, part, packs, description)
        yield replace(line, quantity=left, owned=fsum(d.taken for d in mine))


def _owned(found: tuple[NetNeed, ...], description: written.Description) -> Iterator[BillLine]:
    """Needs that stock meets whole cost nothing."""
    for net in found:
        if net.is_met and not net.parts:
            need, none = net.need, Decimal(0)
            yield BillLine(
                need, (need.key,), "", need.what, "", 0, 0, None, none, owned=need.wanted
            )
        if net.is_met and net.parts:
            part = description.parts[net.parts[0]]
            each = next((price for _, price in prices(part)), None)
            yield BillLine(
                net.need,
                (net.need.key,),
                net.parts[0],
                part.what,
                "",
                0,
                part.pack,
                each,
                Decimal(0),
                currency=currency_of(part, description),
                owned=net.taken or net.need.wanted,
            )


def _line(
    mine: list[NetNeed], part_id: str, packs: int, description: written.Description
) -> BillLine:
    needs = [d.need for d in mine]
    part = description.parts[part_id]
    supplier = description.suppliers.get(part.supplier or "")
    steps = prices(part)
    own, order = currency_of(part, description), supplier_currency(supplier, description)
    each = price_at(steps, packs) if steps else None
    asked = cost = None
    if each is not None:
        in_order = each * packs
        if own != order:
            in_order = in_order * rate(own, description) / rate(order, description)
        asked = rounded(in_order)
        cost = rounded(asked * rate(order, description))
    return BillLine(
        together(needs),
        tuple(n.key for n in needs),
        part_id,
        part.what,
        part.supplier or "",
        packs,
        part.pack,
        each,
        cost,
        currency=own,
        asked=asked,
        dated=part.dated,
        colours=tuple(
            (colour, d.packs.get(part_id, 0)) for d in mine if (colour := colour_of(d.need.key))
        ),
        old=each is not None and is_old(part.dated, description.vehicle.date),
        in_place_of=stands_in_for(part_id, needs[0], description.parts),
        lead_days=part.lead_days
        if part.lead_days is not None or not supplier
        else supplier.lead_days,
    )


def together(found: list[Need]) -> Need:
    """Needs that one part serves, added up so that they share its packs."""
    if len(found) == 1:
        return found[0]
    return replace(
        found[0],
        key=_joint_name([n.key for n in found]),
        what=_joint_title([n.what for n in found]),
        quantity=round(fsum(n.quantity for n in found), 3),
        spare=round(fsum(n.spare for n in found), 3),
        carried=round(fsum(n.carried for n in found), 3),
        uses=tuple(use for n in found for use in n.uses),
        pieces=tuple(piece for n in found for piece in n.pieces),
    )


def _joint_title(titles: list[str]) -> str:
    """Titles with what follows their comma together: 'Terminal A (1 mm2, 4 mm2), Relay'."""
    rests: dict[str, list[str]] = defaultdict(list)
    for title in titles:
        stem, _, rest = title.partition(", ")
        rests[stem] += [rest] if rest else []
    return ", ".join(
        stem
        if not rest
        else f"{stem}, {rest[0]}"
        if len(rest) == 1
        else f"{stem} ({', '.join(rest)})"
        for stem, rest in rests.items()
    )


def _joint_name(names: list[str]) -> str:
    """What the names begin with, then how they differ: 'terminal ring-M6 (1 mm2, 4 mm2)'."""
    words = [name.split(" ") for name in names]
    shared = 0
    while all(len(w) > shared and w[shared] == words[0][shared] for w in words):
        shared += 1
    rests = [" ".join(w[shared:]) for w in words]
    if not shared:
        return ", ".join(names)
    start = " ".join(words[0][:shared]).rstrip(",")
    return f"{start} ({', '.join(rests)})" if all(rests) else start
