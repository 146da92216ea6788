"""The rope, the places and who is joined with whom, as far as a move asks of a written tree."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import networkx as nx
from pydantic import ValidationError

from buildbook.description.models import Harness, Plan
from buildbook.description.tree import at, device_of, entries, listed, word
from buildbook.description.yaml_reader import Node, plain

CROSSING_M = 0.5
"""What crossing a connector counts for when routes are compared: two terminals and a risk."""


class Spot(NamedTuple):
    """A point as part of one harness; a pass-through stands for itself, in no harness."""

    point: str
    harness: str


@dataclass(frozen=True)
class Stretch:
    """A run of rope, or what lies between two marks of a tape."""

    harness: str
    ends: tuple[str, str]
    length_m: float
    zone: str
    measured: bool


@dataclass(frozen=True)
class Joined:
    """A circuit: the devices that it joins, and where else it goes."""

    name: str
    devices: tuple[str, ...]
    harness: str
    """In which it is laid; '' for any."""
    made: bool
    """Whether the program chose that harness, for want of a word of the author's."""
    points: tuple[str, ...]
    """Where it ends capped, and where its splice goes."""


@dataclass(frozen=True)
class Layout:
    """Where everything is, and the rope between."""

    stretches: tuple[Stretch, ...]
    harnesses: tuple[str, ...]
    places: dict[str, tuple[float, ...]]
    """Of the plan: metres back, to the right and, where said, up."""
    walls: tuple[float, ...]
    points: dict[str, str]
    """Device -> point; '' where nothing says one."""
    carriers: dict[str, str]
    """Device -> the panel that it is on."""
    passes: dict[str, tuple[str, ...]]
    """Pass-through -> the harnesses that it joins."""
    circuits: tuple[Joined, ...]

    @cached_property
    def graph(self) -> nx.Graph[Spot]:
        """The rope of all harnesses, joined where a pass-through joins them."""
        graph: nx.Graph[Spot] = nx.Graph()
        for stretch in self.stretches:
            one, other = (Spot(end, stretch.harness) for end in stretch.ends)
            graph.add_edge(one, other, length=stretch.length_m)
        for device, harnesses in self.passes.items():
            for harness in harnesses:
                spot = Spot(self.points.get(device, ""), harness)
                if spot in graph:
                    graph.add_edge(spot, Spot(device, ""), length=CROSSING_M / 2)
        return graph

    def harnesses_at(self, point: str) -> list[str]:
        """Those that reach a point, in the order of the description."""
        return [name for name in self.harnesses if Spot(point, name) in self.graph]

    def points_of(self, harness: str) -> list[str]:
        """The points of a harness, in the order of its runs."""
        found = (end for s in self.stretches if s.harness == harness for end in s.ends)
        return list(dict.fromkeys(found))

    def ways_from(self, start: Spot) -> dict[Spot, float]:
        """Length in m to everything that can be reached from a spot."""
        if start not in self.graph:
            return {}
        return dict(nx.single_source_dijkstra_path_length(self.graph, start, weight="length"))

    def span(self, points: Iterable[str]) -> frozenset[Spot]:
        """The rope between some points, with these: the ways from the first to each of them."""
        spots = [[Spot(p, h) for h in self.harnesses_at(p)] for p in dict.fromkeys(points)]
        known = [one for one in spots if one]
        if not known:
            return frozenset()
        ways = nx.single_source_dijkstra_path(self.graph, known[0][0], weight="length")
        found = {spot for one in known for spot in one[:1]}
        for one in known[1:]:
            reached: list[list[Spot]] = [ways[spot] for spot in one if spot in ways]
            nearest: list[Spot] = min(reached, key=lambda way: len(way), default=[])
            found.update(nearest)
        return frozenset(found)

    def in_use(self) -> set[str]:
        """Points at which something is, ends or is spliced."""
        ends = (point for circuit in self.circuits for point in circuit.points)
        return {*self.points.values(), *ends} - {""}


def layout_of(tree: Node) -> Layout | None:
    """The layout of a tree written out in full; None where rope or plan cannot be read.

    What is wrong with them is told where the description is validated.
    """
    try:
        rope = {n: Harness.model_validate(plain(h)) for n, h in entries(at(tree, "rope")).items()}
        node = at(tree, "plan")
        plan = Plan.model_validate(plain(node)) if node is not None else None
    except ValidationError:
        return None
    devices = entries(at(tree, "devices"))
    carriers = {name: word(device, "on") for name, device in devices.items() if at(device, "on")}
    return Layout(
        stretches=tuple(s for name, harness in rope.items() for s in _stretches(name, harness)),
        harnesses=tuple(rope),
        places={name: tuple(place) for name, place in plan.places.items()} if plan else {},
        walls=tuple(wall.at for wall in plan.walls.values()) if plan else (),
        points={
            name: word(device, "at") or word(devices.get(word(device, "on")), "at")
            for name, device in devices.items()
        },
        carriers=carriers,
        passes={
            name: tuple(str(half.value) for half in listed(at(device, "between")))
            for name, device in devices.items()
            if word(device, "kind") == "pass-through"
        },
        circuits=tuple(
            _joined(name, node, devices) for name, node in entries(at(tree, "circuits")).items()
        ),
    )


def _stretches(name: str, harness: Harness) -> Iterator[Stretch]:
    for run in harness.runs:
        yield Stretch(name, (run.from_, run.to), run.length, run.zone, run.known == "measured")
    for tape in harness.tapes:
        for before, mark in pairwise(tape.marks):
            length_m = max(mark.reads - before.reads, 0.0)
            known = mark.known or tape.known
            zone = mark.zone or tape.zone
            yield Stretch(name, (before.at, mark.at), length_m, zone, known == "measured")


def _joined(name: str, circuit: Node, devices: Mapping[str, Node]) -> Joined:
    pins = [str(pin.value) for pin in listed(at(circuit, "join"))]
    points = (word(circuit, "capped at"), word(circuit, "splice at"))
    harness = at(circuit, "harness")
    return Joined(
        name,
        tuple(dict.fromkeys(device_of(pin, devices) for pin in pins)),
        word(circuit, "harness"),
        harness is not None and bool(harness.added),
        tuple(point for point in points if point),
    )
