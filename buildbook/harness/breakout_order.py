"""Which wires of a twisted harness break out first, so that they lie outermost."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import networkx as nx

from buildbook.harness.lay_up import Strand
from buildbook.harness.model import Wire
from buildbook.vehicle.model import Run

HEAVY = 1.25
"""Diameter over the middle one of the harness's wires from which a strand lies in the middle,
where it is bent and stretched least; judgement, no source."""


def root_of(runs: Sequence[Run], wires: Iterable[Wire]) -> str:
    """The point at which most wires of a harness end, where its lay-up begins."""
    ends: dict[str, int] = {}
    for run in runs:
        ends |= {run.from_point: 0, run.to_point: 0}
    for wire in wires:
        for end in (wire.a, wire.b):
            if end.kind in ("pin", "half") and end.point in ends:
                ends[end.point] += 1
    return max(ends, key=lambda point: (ends[point], -list(ends).index(point)))


def onward(runs: Sequence[Run], root: str) -> dict[str, tuple[str, ...]]:
    """Run id -> the runs that go on from its far end, seen from the root; nearest runs first."""
    rope: nx.Graph[str] = nx.Graph()
    for run in runs:
        rope.add_edge(run.from_point, run.to_point, run=run.id)
    return {
        rope.edges[near, far]["run"]: tuple(
            rope.edges[far, point]["run"] for point in rope[far] if point != near
        )
        for near, far in (nx.bfs_edges(rope, root) if root in rope else ())
    }


def stays(
    runs: Sequence[Run], held: Mapping[str, Sequence[str]], root: str
) -> dict[str, dict[str, float]]:
    """Run id -> wire id -> length in m for which it stays in the trunk from the run's near end.

    The trunk goes on, at every breakout, along the run that takes most of the wires.
    """
    after = onward(runs, root)
    length = {run.id: run.length_m for run in runs}
    found: dict[str, dict[str, float]] = {}
    for run in reversed(after):
        here = set(held[run])
        trunk = max(after[run], key=lambda other: len(here & set(held[other])), default="")
        beyond = found.get(trunk, {})
        found[run] = {wire: length[run] + beyond.get(wire, 0.0) for wire in held[run]}
    return found


def from_the_middle(
    found: Sequence[Strand], stay_m: Mapping[str, float], middle_mm: float
) -> tuple[Strand, ...]:
    """Strands in the order in which they are laid: heavy ones, then those that stay longest.

    `middle_mm` is the middle diameter of the harness's wires. A cable stays as long as the
    longest of its wires.
    """

    def order(strand: Strand) -> tuple[object, ...]:
        heavy = strand.diameter_mm >= HEAVY * middle_mm
        stay = max(stay_m.get(wire, 0.0) for wire in strand.wires)
        return (
            -strand.diameter_mm if heavy else 0.0,
            -round(stay, 6),
            -round(strand.diameter_mm, 3),
            strand.wires,
        )

    return tuple(sorted(found, key=order))
