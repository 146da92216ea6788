"""The priced bill of materials: which part serves each need, how many packs, what it costs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from math import ceil

from buildbook.catalogue.load import clamps, sleeves
from buildbook.description import models as written
from buildbook.harness.model import Harness
from buildbook.parts.model import Bill, Line, Need
from buildbook.parts.needs import needs
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle

CENT = Decimal("0.01")


def price(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> Bill:
    """Return what to buy for a vehicle, with costs in its currency."""
    wanted = needs(vehicle, harness, sizing, tuple(sleeves().values()), tuple(clamps().values()))
    return make_bill(wanted, vehicle.description)


def make_bill(wanted: tuple[Need, ...], description: written.Description) -> Bill:
    """Price needs: packs rounded up, carriage once per supplier used, tax on both.

    A need without a priced part costs nothing here and is listed as missing.
    """
    lines = tuple(_line(need, part, description) for need, part in _served(wanted, description))
    by_kind: dict[str, Decimal] = defaultdict(Decimal)
    for line in lines:
        if line.cost is not None:
            by_kind[_kind(line.need.key)] += line.cost
    net = sum((line.cost for line in lines if line.cost is not None), Decimal(0))
    used = {line.supplier for line in lines if line.cost is not None and line.supplier}
    carriage = sum((_carriage(description, supplier) for supplier in sorted(used)), Decimal(0))
    rate = Decimal(str(description.vehicle.tax))
    tax = ((net + carriage) * rate).quantize(CENT, ROUND_HALF_UP)
    missing = tuple(line.need.key for line in lines if line.cost is None)
    return Bill(
        lines, net, carriage, tax, net + carriage + tax, missing,
        description.vehicle.currency, dict(by_kind),
    )  # fmt: skip


def keys_for(key: str) -> tuple[str, ...]:
    """The keys that a part may serve to meet a need, closest first.

    >>> keys_for("wire thin-wall 0.5 mm2 RD")
    ('wire thin-wall 0.5 mm2 RD', 'wire thin-wall 0.5 mm2')
    """
    kind, _, rest = key.partition(" ")
    words = rest.split(" ")
    if kind == "part":
        return (key, rest)
    if kind == "wire":
        return (key, " ".join([kind, *words[:-1]]))
    if kind == "terminal":
        wider = (f"terminal {words[0]}", words[0])
    elif kind in ("sleeve", "heat-shrink", "clamp"):
        size = words[0].partition("-")[2]
        short = "shrink" if kind == "heat-shrink" else kind
        wider = (f"{short} {size} mm", short)
    else:
        wider = (kind,) if kind in ("label", "tape", "splice") else ()
    return tuple(dict.fromkeys((key, *wider)))


def _served(
    wanted: tuple[Need, ...], description: written.Description
) -> Iterator[tuple[Need, str]]:
    """Pair needs with part ids, adding up what one part serves so that it shares packs.

    Wire stays one line a colour: another colour is another reel.
    """
    groups: dict[tuple[str, str], list[Need]] = defaultdict(list)
    for need in wanted:
        part = _find(need, description)
        apart = need.key if not part or need.key.startswith("wire ") else ""
        groups[part, apart].append(need)
    for (part, _), found in groups.items():
        yield _together(found), part


def _together(found: list[Need]) -> Need:
    if len(found) == 1:
        return found[0]
    return replace(
        found[0],
        key=_joint_name([n.key for n in found]),
        what=_joint_name([n.what for n in found]),
        quantity=round(sum(n.quantity for n in found), 3),
        used_by=tuple(sorted({user for n in found for user in n.used_by})),
    )


def _joint_name(names: list[str]) -> str:
    """What the names begin with, then how they differ: 'terminal ring-M6 (1 mm2, 4 mm2)'.

    Names with nothing alike at the front stand side by side: 'Terminal A, Mating terminal A'.
    """
    words = [name.split(" ") for name in names]
    shared = 0
    while all(len(w) > shared and w[shared] == words[0][shared] for w in words):
        shared += 1
    rests = [" ".join(w[shared:]) for w in words]
    if not shared:
        return ", ".join(names)
    start = " ".join(words[0][:shared]).rstrip(",")
    return f"{start} ({', '.join(rests)})" if all(rests) else start


def _find(need: Need, description: written.Description) -> str:
    """Return the id of the cheapest part that serves a need closest; '' where none does."""
    for key in keys_for(need.key):
        serving = [part_id for part_id, part in description.parts.items() if key in part.serves]
        if need.key.startswith("part ") and key in description.parts:
            serving = [key]
        if serving:
            return min(serving, key=lambda p: _cost_order(need, description.parts[p]))
    return ""


def _cost_order(need: Need, part: written.Part) -> tuple[bool, Decimal]:
    pack_price = amount(part.price)
    if pack_price is None:
        return True, Decimal(0)
    return False, pack_price * packs(need.quantity, part.pack)


def packs(quantity: float, pack: float) -> int:
    """Whole packs that hold a quantity; a rounding error below a millionth is no pack."""
    return ceil(quantity / pack - 1e-6)


def amount(text: str | None) -> Decimal | None:
    """Decimal of a written price; None where it is missing, negative or not a number."""
    try:
        value = Decimal(text) if text is not None else None
    except InvalidOperation:
        return None
    return value if value is not None and value.is_finite() and value >= 0 else None


def _line(need: Need, part_id: str, description: written.Description) -> Line:
    if not part_id:
        return Line(need, "", need.what, "", 0, 0, None, None)
    part = description.parts[part_id]
    count = packs(need.quantity, part.pack)
    pack_price = amount(part.price)
    cost = None if pack_price is None else pack_price * count
    supplier = part.supplier or ""
    return Line(need, part_id, part.what, supplier, count, part.pack, pack_price, cost)


def _carriage(description: written.Description, supplier: str) -> Decimal:
    found = description.suppliers.get(supplier)
    return (amount(found.carriage) if found else None) or Decimal(0)


def _kind(key: str) -> str:
    kind = key.partition(" ")[0]
    return {"part": "device", "relay": "device", "end": "terminal"}.get(kind, kind)
