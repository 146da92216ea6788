"""What is owned, and which needs take it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum

from buildbook.description import models as written
from buildbook.parts.model import Need, Stock
from buildbook.parts.serving import serving


@dataclass(frozen=True)
class StockTaken:
    """Stock that needs take: what is left to buy, and lengths to cut from."""

    taken: dict[str, float]
    """Need key -> pieces or metres taken from stock."""
    lengths: dict[str, tuple[tuple[float, str], ...]]
    """Need key -> owned lengths in m to cut from, each with its part, '' for a reel of none."""
    stock: tuple[Stock, ...]


def take_stock(
    wanted: tuple[Need, ...], parts: dict[str, written.Part], choice: written.WireChoice
) -> StockTaken:
    """Give owned pieces and lengths to the needs that their parts serve, in order of the keys.

    A length that has a colour goes to wire of that colour only. The reels of `wire` are of no part
    and serve the wire that they are.
    """
    taken: dict[str, float] = {}
    lengths: dict[str, tuple[tuple[float, str], ...]] = {}
    rows = []
    serves = {need.key: serving(need, parts) for need in wanted}
    for part_id, part in parts.items():
        if not part.owned:
            continue
        mine = [n for n in wanted if part_id in serves[n.key]]
        pieces = fsum(stock.pieces for stock in part.owned)
        whole = tuple(sorted(stock.length for stock in part.owned if stock.length))
        used = 0.0
        for need in (n for n in mine if not n.pieces):
            there = pieces if need.unit == "piece" else fsum(whole)
            more = min(need.wanted - taken.get(need.key, 0.0), there - used)
            if more > 0:
                taken[need.key] = taken.get(need.key, 0.0) + more
                used += more
        for need, length in _coloured(part, [n for n in mine if n.pieces]):
            lengths[need.key] = (*lengths.get(need.key, ()), (length, part_id))
        unit = "m" if whole else "piece"
        rows.append(Stock(part_id, part.what, fsum(whole) or pieces, used, unit, whole))
    for key, reels in on_reels(choice).items():
        if key in serves:
            lengths[key] = (*lengths.get(key, ()), *((length, "") for length in reels))
        what = key.removeprefix("wire ")
        rows.append(Stock("", what, fsum(reels), 0.0, "m", reels, key))
    return StockTaken(taken, lengths, tuple(rows))


def on_reels(choice: written.WireChoice) -> dict[str, tuple[float, ...]]:
    """Key of a need -> metres on each reel of that very wire, shortest first."""
    found: dict[str, tuple[float, ...]] = {}
    for reel in sorted(choice.reels, key=lambda reel: reel.length):
        key = f"wire {choice.family_of(reel)} {reel.size.label} {reel.colour}"
        found[key] = (*found.get(key, ()), reel.length)
    return found


def _coloured(part: written.Part, wires: list[Need]) -> Iterator[tuple[Need, float]]:
    """Each owned length with the first need that may be cut from it."""
    for stock in part.owned:
        fits = [n for n in wires if not stock.colour or n.key.endswith(f" {stock.colour}")]
        if stock.length and fits:
            yield fits[0], stock.length
