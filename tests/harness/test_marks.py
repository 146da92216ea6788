"""Marks of splices along the rope, what a twisted pair takes, and what a wire's family is."""

from __future__ import annotations

from typing import Any

import pytest

from buildbook.harness.model import Splice
from buildbook.harness.rope import lay_rope
from buildbook.harness.splice_offsets import WantedSplice, apart_m, stagger
from tests.checks import minimal as m
from tests.harness.test_routes_and_splices import STAR, built, of, vehicle_of
from tests.harness.trees import sensor


def at(point: str, offset_m: float = 0.0, run: str = "", harness: str = "h") -> Splice:
    return Splice("S", "c", harness, point, offset_m, (), run)


def test_splices_are_apart_by_the_rope_between_them() -> None:
    runs = {run.id: run for run in (m.run("r1", "P", "Q", 1.0), m.run("r2", "P", "R", 1.0))}
    assert apart_m(runs, at("P", 0.25, "r1"), at("Q", 0.125, "r1")) == pytest.approx(0.625)
    assert apart_m(runs, at("P", 0.25, "r1"), at("P", 0.375, "r1")) == pytest.approx(0.125)
    assert apart_m(runs, at("P", 0.25, "r1"), at("P", 0.375, "r2")) == pytest.approx(0.625)
    assert apart_m(runs, at("P"), at("P", 0.375, "r2")) == pytest.approx(0.375)
    assert apart_m(runs, at("P", 0.25, "r1"), at("R", 0.25, "r2")) is None
    assert apart_m(runs, at("P"), at("P", harness="other")) is None


def marks(*wanted: WantedSplice) -> list[tuple[float, str]]:
    vehicle = vehicle_of(
        {}, {}, {"main": {"runs": [*STAR["main"]["runs"][3:], *STAR["main"]["runs"][:3]]}}
    )
    return stagger(vehicle, lay_rope(vehicle), wanted)


def test_what_exists_keeps_its_mark_and_new_splices_keep_clear_of_it() -> None:
    everywhere = frozenset("abcd") | {"hub"}
    new = WantedSplice("main", "hub", everywhere)
    old = WantedSplice("main", "hub", everywhere, (0.02, "main:hub-b"))
    # 40 mm from 20 mm is 60 mm; the next mark of the raster is 80 mm, on the longest run
    assert marks(new, old) == [(0.08, "main:hub-a"), (0.02, "main:hub-b")]
    # the run of the circuit goes before a longer one
    mine = WantedSplice("main", "hub", frozenset({"hub", "c"}))
    assert marks(new, mine) == [(0.0, ""), (0.04, "main:hub-c")]
    # seen from the hub, 970 mm off a is 30 mm: 40 mm along that run is too near, b is the next
    far = WantedSplice("main", "a", everywhere, (0.97, "main:hub-a"))
    assert marks(far, new, new)[1:] == [(0.0, ""), (0.04, "main:hub-b")]


def pair(**circuit: Any) -> dict[str, float]:
    """Kind of addend -> metres of one core of a twisted pair over 2.1 m of rope."""
    devices = {"s": sensor("a", 2), "t": sensor("d", 2)}
    circuits = {f"c{n}": {"join": [f"s.{n}", f"t.{n}"]} | circuit for n in (1, 2)}
    cables = {"bus": {"type": "twisted pair", "cores": ["c1", "c2"]}}
    (wire,) = of(built(vehicle_of(devices, circuits, STAR, cables=cables)), "c1")
    assert wire.cable == "bus" and wire.family == "twisted-pair"
    return {part.kind: part.length_m for part in wire.addends}


def test_a_twisted_pair_takes_a_twentieth_more_of_its_rope() -> None:
    assert pair()["pair"] == pytest.approx(0.05 * 2.1)


@pytest.mark.parametrize(
    ("told", "family"),
    [
        ({}, "thin-wall"),
        ({"size": "6 mm2"}, "thin-wall"),
        ({"size": "10 mm2"}, "battery"),
        ({"size": "10 mm2", "family": "thin-wall"}, "thin-wall"),
    ],
)
def test_wire_above_six_square_millimetres_is_battery_cable(told, family) -> None:
    devices = {"G2": {"kind": "ground", "at": "a", "system": "all"}}
    circuits = {"strap": {"join": ["G1", "G2"]} | told}
    (wire,) = of(built(vehicle_of(devices, circuits, STAR)), "strap")
    assert wire.family == family
