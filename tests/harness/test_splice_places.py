"""Splice places equal brute force over every point, on random rope trees of up to 12 points."""

from __future__ import annotations

import random
from functools import cache
from itertools import combinations, product

import networkx as nx
import pytest

from buildbook.harness.build import build_harness
from buildbook.harness.rope import lay_rope
from buildbook.harness.splices import (
    CROWD,
    CROWD_M,
    SPLICE_M,
    Leg,
    SpliceTree,
    allowed_points,
    choose_splice_tree,
    link_area_mm2,
)
from buildbook.vehicle.model import Vehicle
from tests.harness.test_routes_and_splices import STAR, built, vehicle_of
from tests.harness.trees import run, sensor

SIZES = (0.35, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0)


def random_tree(seed: int, forbid: float, moving: float, most: int) -> tuple[Vehicle, list[Leg]]:
    """A harness of 3 to 12 points, and legs of unlike areas and currents at some of them."""
    chance = random.Random(seed)
    count = chance.randint(3, 12)
    runs = [
        run(
            f"p{chance.randrange(at)}",
            f"p{at}",
            chance.randint(50, 3000),
            zone="moving" if chance.random() < moving else "still",
        )
        for at in range(1, count)
    ]
    closed = [f"p{at}" for at in range(count) if chance.random() < forbid]
    vehicle = vehicle_of({}, {}, {"main": {"runs": runs, "no splices": closed[: count - 1]}})
    legs = [
        Leg(f"p{chance.randrange(count)}", chance.choice(SIZES), chance.choice((0.1, 1, 5, 12, 20)))
        for _ in range(chance.randint(3, most))
    ]
    return vehicle, legs


def rope_of(vehicle: Vehicle) -> nx.Graph:
    graph: nx.Graph = nx.Graph()
    for piece in vehicle.runs:
        graph.add_edge(piece.from_point, piece.to_point, length=piece.length_m)
    return graph


class Brute:
    """The least cost over all points, all ways to share the legs out and all links."""

    def __init__(self, vehicle: Vehicle, legs: list[Leg]) -> None:
        self.legs = legs
        self.far = dict(nx.all_pairs_dijkstra_path_length(rope_of(vehicle), weight="length"))
        self.thinnest = min(leg.area_mm2 for leg in legs)
        self.area = cache(lambda amps: link_area_mm2(amps, legs))

    def cost(self, star: SpliceTree) -> float:
        """Length times area over the thinnest area, each splice's worth, and crowded crimps."""
        legs, near = self.legs, star.splice_of
        total = sum(
            leg.area_mm2 * self.far[leg.point][star.points[at]]
            for leg, at in zip(legs, near, strict=True)
        )
        for a, b in star.links:
            beyond = self.beyond(len(star.points), star.links, (a, b))
            inside = sum(leg.current_a for leg, at in zip(legs, near, strict=True) if at in beyond)
            outside = sum(leg.current_a for leg in legs) - inside
            area = self.area(round(min(inside, outside), 9))
            total += area * self.far[star.points[a]][star.points[b]]
        crowd = sum(max(0, count - CROWD) for count in self.wires(star))
        return total / self.thinnest + SPLICE_M * len(star.points) + CROWD_M * crowd

    @staticmethod
    @cache
    def beyond(count: int, links: tuple[tuple[int, int], ...], cut: tuple[int, int]) -> set[int]:
        wires: nx.Graph = nx.Graph(link for link in links if link != cut)
        wires.add_nodes_from(range(count))
        return nx.node_connected_component(wires, cut[0])

    @staticmethod
    def wires(star: SpliceTree) -> list[int]:
        ends = [*star.splice_of, *(at for link in star.links for at in link)]
        return [ends.count(at) for at in range(len(star.points))]

    def least(self, points: list[str]) -> float:
        best = float("inf")
        for count in (1, 2, 3):
            joins = [
                links
                for links in combinations(combinations(range(count), 2), count - 1)
                if nx.is_tree(nx.Graph([*links] or [(0, 0)])) or count == 1
            ]
            for chosen in combinations(points, count):
                for way in product(range(count), repeat=len(self.legs)):
                    for links in joins:
                        star = SpliceTree(chosen, way, links)
                        if min(self.wires(star)) >= 3:
                            best = min(best, self.cost(star))
        return best


def still_points(vehicle: Vehicle) -> list[str]:
    """Points that the author allows and that still rope reaches; if none, those allowed."""
    closed = vehicle.description.rope["main"].no_splices
    points = sorted({p for r in vehicle.runs for p in (r.from_point, r.to_point)} - set(closed))
    still = {p for r in vehicle.runs if r.zone == "still" for p in (r.from_point, r.to_point)}
    return [point for point in points if point in still] or points


def touched(vehicle: Vehicle, legs: list[Leg]) -> list[str]:
    """Points of the rope between the legs."""
    graph = rope_of(vehicle)
    paths = [nx.shortest_path(graph, legs[0].point, leg.point) for leg in legs]
    return list(dict.fromkeys(point for path in paths for point in path))


@pytest.mark.parametrize(("forbid", "moving"), [(0.0, 0.0), (0.35, 0.0), (0.2, 0.35), (0.0, 0.9)])
def test_splice_places_equal_brute_force(forbid: float, moving: float) -> None:
    several = 0
    for seed in range(24):
        vehicle, legs = random_tree(seed, forbid, moving, most=5 if seed % 8 else 6)
        star = choose_splice_tree(vehicle, lay_rope(vehicle), "main", touched(vehicle, legs), legs)
        assert star is not None
        choices = still_points(vehicle)
        assert set(star.points) <= set(choices)
        brute = Brute(vehicle, legs)
        assert brute.cost(star) == pytest.approx(brute.least(choices), abs=1e-5), seed
        several += len(star.points) > 1
    assert several > 2


def test_a_heavy_leg_draws_the_splice_to_its_end() -> None:
    # 4 mm2 over 1 m weighs more than two 0.5 mm2 legs: moving the splice from the hub to the
    # heavy end saves 4 mm2 and costs 2 * 0.5 mm2 for every metre
    vehicle = vehicle_of({}, {}, STAR)
    legs = [Leg("a", 4.0, 20), Leg("b", 0.5, 2), Leg("c", 0.5, 2)]
    points = ["a", "hub", "b", "c"]
    star = choose_splice_tree(vehicle, lay_rope(vehicle), "main", points, legs)
    assert star is not None and star.points == ("a",)
    alike = [Leg(leg.point) for leg in legs]
    star = choose_splice_tree(vehicle, lay_rope(vehicle), "main", points, alike)
    assert star is not None and star.points == ("hub",)


def test_a_link_is_as_thick_as_the_leg_that_carries_as_much() -> None:
    legs = [Leg("a", 4.0, 20), Leg("b", 1.5, 12), Leg("c", 0.5, 4), Leg("d", 0.5, 4)]
    assert [link_area_mm2(amps, legs) for amps in (3, 4, 8, 20)] == [0.5, 0.5, 1.5, 4.0]
    assert link_area_mm2(30, legs) == pytest.approx(4.0 * 30 / 20)


def test_a_point_that_the_author_forbids_is_not_spliced_at() -> None:
    rope = {"main": STAR["main"] | {"no splices": ["hub"]}}
    devices = {"s": sensor("a", 1), "t": sensor("b", 1), "u": sensor("d", 1)}
    harness = built(vehicle_of(devices, {"c": {"join": ["s.1", "t.1", "u.1"]}}, rope))
    # a further metre, 0.8 m or 0.6 m of one wire more than at the hub: c is the least
    assert [splice.point for splice in harness.splices.values()] == ["c"]


def test_a_harness_forbidden_everywhere_is_a_problem() -> None:
    points = ["hub", "a", "b", "c", "d"]
    rope = {"main": STAR["main"] | {"no splices": points}}
    devices = {"s": sensor("a", 1), "t": sensor("b", 1), "u": sensor("d", 1)}
    circuit = {"join": ["s.1", "t.1", "u.1"]}
    harness, problems = build_harness(vehicle_of(devices, {"c": circuit}, rope))
    assert harness is None and "may be nowhere" in problems[0].what
    circuit["splice at"] = "hub"
    harness, problems = build_harness(vehicle_of(devices, {"c": circuit}, rope))
    assert harness is None and "forbids" in problems[0].why


def test_points_where_all_rope_moves_are_not_allowed() -> None:
    door = [run("h", "d", 400, zone="moving"), run("d", "e", 100, zone="moving")]
    runs = [run("x", "h", 300), *door]
    vehicle = vehicle_of({}, {}, {"main": {"runs": runs}})
    assert allowed_points(vehicle, lay_rope(vehicle), "main") == {"x", "h"}


def test_no_two_splices_share_a_mark_even_on_short_rope() -> None:
    rope = {"main": {"runs": [run("hub", p, 120) for p in "abc"]}}
    devices = {f"s{p}": sensor(p, 5) for p in "abc"}
    devices |= {f"t{p}": sensor(p, 5) for p in "abc"}
    circuits = {
        f"c{n}{s}": {"join": [f"{s}a.{n}", f"{s}b.{n}", f"{s}c.{n}"], "splice at": "hub"}
        for n in range(1, 6)
        for s in "st"
    }
    harness = built(vehicle_of(devices, circuits, rope))
    spots = [(s.run, s.offset_m) for s in harness.splices.values()]
    assert len(spots) == 10 and len(set(spots)) == 10
    for one, other in combinations(spots, 2):
        apart = abs(one[1] - other[1]) if one[0] == other[0] else one[1] + other[1]
        assert apart >= 0.001 - 1e-9
    assert all(offset <= 0.06 for _, offset in spots)


def test_a_splice_keeps_clear_of_the_connector_at_its_point() -> None:
    devices = {"s": sensor("a", 1), "t": sensor("b", 1), "u": sensor("d", 1)}
    circuit = {"join": ["s.1", "t.1", "u.1"], "splice at": "a"}
    (splice,) = built(vehicle_of(devices, {"c": circuit}, STAR)).splices.values()
    # 80 mm along the only rope there, so that it is out of the backshell
    assert (splice.run, splice.offset_m) == ("main:hub-a", 0.08)


def test_no_splice_is_inside_a_connector_however_short_its_rope() -> None:
    """80 mm are kept free, or what the near half of the rope gives; common practice, no source."""
    for length_mm in (30, 100, 150, 170, 400):
        rope = {"main": {"runs": [run("hub", "c", length_mm)]}}
        devices = {name: sensor("hub", 1) for name in "pqr"} | {"far": sensor("c", 1)}
        circuits = {"x": {"join": ["p.1", "q.1", "r.1", "far.1"]}}
        for splice in built(vehicle_of(devices, circuits, rope)).splices.values():
            assert splice.run == "main:hub-c", length_mm
            assert splice.offset_m >= min(0.08, length_mm / 2000 - 0.002), length_mm
