"""What to lay ready for one harness: its share of every need, then the tools."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import fsum

from buildbook.bench.on_bench import HarnessOnBench
from buildbook.parts.keys import kind_of
from buildbook.parts.model import Need
from buildbook.parts.needs import needs
from buildbook.parts.tools import tools

FIRST = ("wire and cable", "terminals and seals", "connectors", "cover and clamps", "labels")
"""Kinds in the order of work; others follow."""


def every_need(bench: HarnessOnBench) -> tuple[Need, ...]:
    """What the whole vehicle needs."""
    return tuple(needs(bench.vehicle, bench.harness, bench.sizing, bench.finished_runs))


def pick_list(bench: HarnessOnBench, every: Iterable[Need]) -> tuple[Need, ...]:
    """Needs with the quantity that this harness takes, by kind; tools last."""
    own = [n for n in (_share(need, bench.name) for need in every) if n.quantity]
    own.sort(key=lambda n: (_place(n), n.key))
    return (*own, *(Need(t.key, t.what, 1, "piece") for t in tools(n.key for n in own)))


def _share(need: Need, harness: str) -> Need:
    quantity = fsum(use.quantity for use in need.uses if use.harness == harness)
    return replace(need, quantity=round(quantity, 3))


def _place(need: Need) -> int:
    kind = kind_of(need.key)
    return FIRST.index(kind) if kind in FIRST else len(FIRST)
