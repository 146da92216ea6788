"""One use of one thing, and the adding up of uses into needs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from buildbook.parts.model import Need, PieceToCut, Use


@dataclass(frozen=True)
class TakeOff:
    """One use of one thing, before uses of the same key are added up."""

    key: str
    what: str
    quantity: float
    unit: str
    harness: str = ""
    system: str = ""
    piece: str = ""
    """Wire or cable id, where a piece of this length is cut."""


def added_up(entries: Iterable[TakeOff]) -> tuple[Need, ...]:
    """Needs sorted by key, with the uses of each harness and system together."""
    by_key: dict[str, list[TakeOff]] = defaultdict(list)
    for entry in entries:
        by_key[entry.key].append(entry)
    return tuple(_need(key, found) for key, found in sorted(by_key.items()))


def _need(key: str, found: list[TakeOff]) -> Need:
    shares: dict[tuple[str, str], float] = defaultdict(float)
    for entry in found:
        shares[entry.harness, entry.system] += entry.quantity
    return Need(
        key,
        found[0].what,
        round(fsum(e.quantity for e in found), 3),
        found[0].unit,
        tuple(Use(*where, round(quantity, 3)) for where, quantity in sorted(shares.items())),
        pieces=tuple(PieceToCut(e.piece, e.harness, e.quantity) for e in found if e.piece),
    )
