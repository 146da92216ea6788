"""How many kinds of wire are bought, and what fewer colours would save."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from buildbook.parts.model import Bill


@dataclass(frozen=True)
class WireKinds:
    """Kinds are a size and family in a colour."""

    kinds: int
    for_one: int
    """Kinds of which a single piece is cut."""
    colours: int
    packs: int
    fewest_packs: int
    """That would do at the least if each size were of one colour."""
    saved: Decimal
    """What the packs between cost, at today's price of a pack, in the vehicle's currency."""


def wire_kinds(bill: Bill) -> WireKinds | None:
    """Of all wire that is bought by the reel or hank; None where none is.

    The fewest packs are those that hold all metres of a size, however they are cut: no choice of
    colours can save more.
    """
    plans = [plan for plan in bill.plans if plan.colour]
    if not plans:
        return None
    packs, fewest, saved = 0, 0, Decimal(0)
    for line in bill.lines:
        if line.colours and line.packs:
            enough = min(line.packs, math.ceil(line.quantity / line.pack - 1e-9))
            packs, fewest = packs + line.packs, fewest + enough
            if line.cost is not None:
                saved += line.cost * (line.packs - enough) / line.packs
    pieces = [sum(len(source.cuts) for source in plan.sources) for plan in plans]
    return WireKinds(
        len(plans),
        sum(count == 1 for count in pieces),
        len({plan.colour for plan in plans}),
        packs,
        fewest,
        saved.quantize(Decimal("0.01")),
    )
