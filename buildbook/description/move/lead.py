"""Leads rope to where a device goes: from which point of a harness, how long, through what."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import networkx as nx

from buildbook.description.move.devices import Going
from buildbook.description.move.estimate import estimate_m
from buildbook.description.move.layout import Layout, Spot, Stretch
from buildbook.description.move.needs import Need
from buildbook.description.suggest import did_you_mean
from buildbook.problem import Problem


@dataclass(frozen=True)
class Lead:
    """A run that is not there yet."""

    spot: Spot
    """Where it leaves the rope."""
    new: str
    length_m: float
    measured: bool
    zone: str
    going: Going
    """The first of those that it leads to."""


@dataclass(frozen=True)
class Ground:
    """The rope before anything moves, and what is left of it."""

    before: Layout
    after: Layout
    gone: tuple[Stretch, ...]

    def roots(self, harness: str) -> list[str]:
        """Points of a harness where rope may begin; all of it gone, where something still is."""
        left = self.after.points_of(harness)
        if left:
            return left
        ends = [end for s in self.gone if s.harness == harness for end in s.ends]
        used = self.after.in_use()
        return list(dict.fromkeys([end for end in ends if end in used] or ends))

    def joined_with(self, harness: str) -> list[str]:
        """Harnesses that pass-throughs join with one, itself first."""
        graph: nx.Graph[str] = nx.Graph()
        graph.add_node(harness)
        for halves in self.before.passes.values():
            nx.add_path(graph, halves)
        near = nx.node_connected_component(graph, harness) - {harness}
        return [harness, *(name for name in self.before.harnesses if name in near)]


def leads_of(ground: Ground, needs: Iterable[Need], problems: list[Problem]) -> list[Lead]:
    """The runs that are missing; what cannot be estimated is a problem."""
    found: dict[tuple[str, str], Lead] = {}
    for need in needs:
        if _is_met(ground, need):
            continue
        lead = _lead(ground, need)
        if isinstance(lead, Problem):
            problems.append(lead)
        else:
            found.setdefault((lead.spot.harness, lead.new), lead)
    return list(found.values())


def _is_met(ground: Ground, need: Need) -> bool:
    """Whether rope leads there already, in the harness or through a connector."""
    there = ground.after.harnesses_at(need.new)
    if need.harness in there:
        return True
    return not need.forced and any(h in there for h in ground.joined_with(need.harness))


def _lead(ground: Ground, need: Need) -> Lead | Problem:
    start = next((going for going in need.goings if going.said.from_), None)
    if start is not None and start.said.from_ is not None:
        spot = _spot_named(ground, need, start.said.from_)
        if spot is None:
            return _no_point(ground, need, start)
        spots = [spot]
    else:
        spots = _spots(ground, need)
    told = _told(need, spots[0].harness) if len(spots) == 1 and start else None
    if told is None and (problem := _unmeasurable(ground, need, spots)):
        return problem
    if len(spots) > 1:
        spots = [min(spots, key=lambda spot: _wire_m(ground, need, spot))]
    spot = spots[0]
    measured_m = _told(need, spot.harness)
    return Lead(
        spot,
        need.new,
        measured_m or estimate_m(ground.before, spot.harness, spot.point, need.new),
        measured_m is not None,
        next((g.said.zone for g in need.goings if g.said.zone), None) or _zone(ground, spot, need),
        need.goings[0],
    )


def _told(need: Need, harness: str) -> float | None:
    """The length that was measured, in m; None where none was."""
    return next((m for g in need.goings if (m := g.said.measured.get(harness))), None)


def _spot_named(ground: Ground, need: Need, point: str) -> Spot | None:
    """A point as part of the harness, else of one that a pass-through joins with it."""
    near = ground.joined_with(need.harness)[: 1 if need.forced else None]
    return next((Spot(point, h) for h in near if point in ground.roots(h)), None)


def _spots(ground: Ground, need: Need) -> list[Spot]:
    """Where rope may begin: no wall of the plan is to lie between there and the new place.

    A harness that is all on another side of a wall gives way to those there that a connector
    joins with it. Where none is, the rope goes through the wall.
    """
    places = ground.before.places
    near = ground.joined_with(need.harness)[: 1 if need.forced else None]
    beyond = [h for h in near if any(_is_beside(ground, p, need.new) for p in ground.roots(h))]
    chosen = [need.harness] if need.harness in beyond or not beyond else beyond
    every = [Spot(p, h) for h in chosen for p in ground.roots(h) if p in places]
    free = [spot for spot in every if not _is_behind(ground, spot.point, need.new)]
    return free or every


def _is_beside(ground: Ground, point: str, new: str) -> bool:
    """Whether the plan has a point, on the same side of every wall, not in one."""
    if point not in ground.before.places:
        return False
    return all(a * b > 0 or b == 0 for a, b in _from_walls(ground, point, new))


def _is_behind(ground: Ground, point: str, new: str) -> bool:
    """Whether a wall lies between two points."""
    return any(a * b < 0 for a, b in _from_walls(ground, point, new))


def _from_walls(ground: Ground, point: str, new: str) -> list[tuple[float, float]]:
    """How far behind each wall two points are, in m; nothing where the plan has not both."""
    places = ground.before.places
    if point not in places or new not in places:
        return []
    return [(places[point][0] - wall, places[new][0] - wall) for wall in ground.before.walls]


def _wire_m(ground: Ground, need: Need, spot: Spot) -> float:
    """Length of all wires from the new place to what they go to, if rope led there from a spot."""
    branch_m = estimate_m(ground.before, spot.harness, spot.point, need.new)
    lengths = ground.after.ways_from(spot)
    total_m = branch_m * max(len(need.spans), 1)
    for span in need.spans:
        total_m += min((lengths[s] for s in span if s in lengths), default=0.0)
    return total_m


def _zone(ground: Ground, spot: Spot, need: Need) -> str:
    """What most rope at the new place crosses, else most at the point where it begins."""
    runs = ground.before.stretches
    there = [s.zone for s in runs if need.new in s.ends]
    here = [s.zone for s in runs if s.harness == spot.harness and spot.point in s.ends]
    return Counter(there or here).most_common(1)[0][0]


def _no_point(ground: Ground, need: Need, going: Going) -> Problem:
    start = going.said.from_ or ""
    return Problem(
        going.place("from"),
        f"no point `{start}` of the rope of `{need.harness}`",
        f"the wires of `{going.device}` run in that harness, and rope to `{need.new}` has to "
        "begin on it",
        did_you_mean(start, ground.roots(need.harness)),
    )


def _unmeasurable(ground: Ground, need: Need, spots: Sequence[Spot]) -> Problem | None:
    """The problem of a length that nothing tells; None where the plan does."""
    going, places = need.goings[0], ground.before.places
    if need.new in places and spots and all(spot.point in places for spot in spots):
        return None
    lacks = f"`{need.new}`"
    if need.new in places:
        lacks = f"`{spots[0].point}`" if spots else f"any point of `{need.harness}`"
    return Problem(
        going.where,
        f"no rope of `{need.harness}` leads to `{need.new}`, and nothing says how far it is",
        f"the length is estimated from the plan, which has no place for {lacks}",
        f"write under `plan: places` where that is, or say where the rope begins and how long it "
        f"is: {{to: {need.new}, from: {_some_point(ground, need)}, "
        f"measured: {{{need.harness}: 800 mm}}}}",
    )


def _some_point(ground: Ground, need: Need) -> str:
    return next(iter(ground.roots(need.harness)), "POINT")
