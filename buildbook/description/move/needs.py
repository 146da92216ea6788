"""Which harnesses a moved device takes along: those that its wires left its old place in."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from buildbook.description.move.devices import Going
from buildbook.description.move.layout import Joined, Layout, Spot
from buildbook.problem import Problem


@dataclass
class Need:
    """A harness that has to get to a new place, and what its wires there go to."""

    harness: str
    new: str
    goings: list[Going] = field(default_factory=list)
    spans: list[frozenset[Spot]] = field(default_factory=list)
    """For each wire, the rope between all else that its circuit joins: it meets that somewhere."""
    forced: bool = False
    """It must reach the place itself: wires may not come in another harness."""


@dataclass(frozen=True)
class _Wire:
    harness: str
    """'' where it joins things at one place, in no harness more than in another."""
    span: frozenset[Spot]
    forced: bool


def needs_of(
    before: Layout, after: Layout, moves: Sequence[Going], problems: list[Problem]
) -> list[Need]:
    """What every move asks of the rope; `after` has everything at its new place."""
    found: dict[tuple[str, str], Need] = {}
    for going in moves:
        here = before.harnesses_at(going.old)
        wires = list(_wires(before, after, going))
        if any(not wire.harness for wire in wires) and not here:
            problems.append(_off_rope(going))
            continue
        told = [wire.harness for wire in wires if wire.harness]
        for wire in wires:
            harness = wire.harness or next(iter([*told, *here]))
            need = found.setdefault((harness, going.new), Need(harness, going.new))
            need.spans.append(wire.span)
            need.forced |= wire.forced
            need.goings += [] if going in need.goings else [going]
        for harness in before.passes.get(going.device, ()):
            need = found.setdefault((harness, going.new), Need(harness, going.new))
            need.forced = True
            need.goings.append(going)
    return list(found.values())


def _off_rope(going: Going) -> Problem:
    return Problem(
        going.where,
        f"no rope reaches `{going.old}`, where `{going.device}` is joined to what stays there",
        "nothing says in which harness its wires would go from there to another place",
        f"add a run to `{going.old}`, or move what it is joined to with it",
    )


def _wires(before: Layout, after: Layout, going: Going) -> Iterator[_Wire]:
    ways = {h: before.ways_from(Spot(going.old, h)) for h in before.harnesses_at(going.old)}
    for circuit in before.circuits:
        if not set(circuit.devices) & set(going.group):
            continue
        wire = _wire(before, after, going, circuit, ways)
        if wire is not None:
            yield wire


def _wire(
    before: Layout,
    after: Layout,
    going: Going,
    circuit: Joined,
    ways: dict[str, dict[Spot, float]],
) -> _Wire | None:
    """A wire that went into the harness where the way to its circuit's others was shortest.

    None where all that it joins comes along.
    """
    others = [d for d in circuit.devices if d not in going.group and after.points.get(d)]
    others = [d for d in others if after.points[d] != going.new]
    was = [*(before.points[d] for d in others), *circuit.points]
    now = [*(after.points[d] for d in others), *circuit.points]
    own = circuit.harness if circuit.harness in ways else ""
    if not was:
        return _Wire(own, frozenset(), True) if own and not circuit.made else None
    span = after.span(now)
    if all(point == going.old for point in was):
        return _Wire(own, span, bool(own))
    there = before.span(was)
    far = {
        harness: min((lengths[spot] for spot in there if spot in lengths), default=math.inf)
        for harness, lengths in ways.items()
    }
    if own or not far:
        return _Wire(own, span, True) if own else None
    return _Wire(min(far, key=lambda harness: far[harness]), span, False)
