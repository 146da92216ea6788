"""What the vehicle costs by kind of part, by system and by harness."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from decimal import Decimal

from buildbook.parts.keys import kind_of
from buildbook.parts.model import BillLine, Use
from buildbook.parts.money import shared_out
from buildbook.words.say import mark

SHARED = mark("shared")
"""What belongs to no single system: cover, clamps, tools."""

LOOSE = mark("not in a harness")
"""Devices, fuses, relays, tools."""


def by_kind(lines: Iterable[BillLine]) -> dict[str, Decimal]:
    """Net cost by kind of part, dearest first."""
    found: dict[str, Decimal] = defaultdict(Decimal)
    for line in lines:
        if line.cost:
            found[kind_of(line.need.key)] += line.cost
    return _dearest_first(found)


def by_system(lines: Iterable[BillLine]) -> dict[str, Decimal]:
    """Net cost by system id, in proportion to what each takes of a line."""
    return _by(lines, lambda use: use.system or SHARED, SHARED)


def by_harness(lines: Iterable[BillLine]) -> dict[str, Decimal]:
    """Net cost by harness id, in proportion to what each takes of a line."""
    return _by(lines, lambda use: use.harness or LOOSE, LOOSE)


def _by(lines: Iterable[BillLine], name: Callable[[Use], str], other: str) -> dict[str, Decimal]:
    found: dict[str, Decimal] = defaultdict(Decimal)
    for line in lines:
        if not line.cost:
            continue
        weights: dict[str, float] = defaultdict(float)
        for use in line.need.uses:
            weights[name(use)] += use.quantity
        for key, share in (shared_out(line.cost, weights) or {other: line.cost}).items():
            found[key] += share
    return _dearest_first(found)


def _dearest_first(found: dict[str, Decimal]) -> dict[str, Decimal]:
    return dict(sorted(found.items(), key=lambda pair: (-pair[1], pair[0])))
