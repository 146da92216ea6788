"""What is owned, and which needs take it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from buildbook.description import models as written
from buildbook.parts.model import Need, Stock
from buildbook.parts.serving import serving


@dataclass(frozen=True)
class StockTaken:
    """Stock that needs take: what is left to buy, and lengths to cut from."""

    taken: dict[str, float]
    """Need key -> pieces or metres taken from stock."""
    lengths: dict[str, tuple[tuple[float, str], ...]]
    """Need key -> owned lengths in m to cut from, each with its part."""
    stock: tuple[Stock, ...]


def take_stock(wanted: tuple[Need, ...], parts: dict[str, written.Part]) -> StockTaken:
    """Give owned pieces and lengths to the needs that their parts serve, in order of the keys.

    A length that has a colour goes to wire of that colour only.
    """
    taken: dict[str, float] = {}
    lengths: dict[str, tuple[tuple[float, str], ...]] = {}
    rows = []
    serves = {need.key: serving(need, parts) for need in wanted}
    for part_id, part in parts.items():
        if not part.owned:
            continue
        mine = [n for n in wanted if part_id in serves[n.key]]
        pieces = sum(stock.pieces for stock in part.owned)
        whole = tuple(sorted(stock.length for stock in part.owned if stock.length))
        used = 0.0
        for need in (n for n in mine if not n.pieces):
            there = pieces if need.unit == "piece" else sum(whole)
            more = min(need.wanted - taken.get(need.key, 0.0), there - used)
            if more > 0:
                taken[need.key] = taken.get(need.key, 0.0) + more
                used += more
        for need, length in _coloured(part, [n for n in mine if n.pieces]):
            lengths[need.key] = (*lengths.get(need.key, ()), (length, part_id))
        unit = "m" if whole else "piece"
        rows.append(Stock(part_id, part.what, sum(whole) or pieces, used, unit, whole))
    return StockTaken(taken, lengths, tuple(rows))


def _coloured(part: written.Part, wires: list[Need]) -> Iterator[tuple[Need, float]]:
    """Each owned length with the first need that may be cut from it."""
    for stock in part.owned:
        fits = [n for n in wires if not stock.colour or n.key.endswith(f" {stock.colour}")]
        if stock.length and fits:
            yield fits[0], stock.length
