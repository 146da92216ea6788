"""Rules about searches that had to stop: rounds of sizing, and room for splices along the rope."""

from dataclasses import replace

import pytest

from buildbook.checks.rules import sizes_unsettled, splices_crowded
from buildbook.harness.model import Splice
from buildbook.sizing import choose as rounds
from buildbook.vehicle.model import Run
from tests.checks import minimal as m
from tests.checks.bench import about
from tests.checks.rules.test_completeness import BATTERY, LAMP
from tests.harness.test_routes_and_splices import built, vehicle_of
from tests.harness.trees import run, sensor
from tests.sizing.small import trailer, written

VEHICLE = m.vehicle((BATTERY, LAMP, m.fuse("F1")), {"feed": ("lamp.1", "battery.+")})


def judged(sizing):
    return m.assessed(
        VEHICLE,
        m.harness((m.wire("101", "feed", m.end("lamp.1"), m.end("battery.+")),)),
        sizing_=sizing,
    )


def test_a_size_that_never_came_to_rest_is_told_of_wire_and_fuse():
    sizing = m.sizing(m.sized("101", "1 mm2"), m.rated("F1", 10, 5.0))
    assert about(sizes_unsettled, judged(sizing)) == []
    assert about(sizes_unsettled, judged(replace(sizing, unsettled=("F1", "101")))) == ["F1", "101"]


@pytest.mark.parametrize(("most", "rests"), [(rounds.MOST_ROUNDS, True), (1, False)])
def test_rounds_that_are_up_before_sizes_rest_leave_names_to_be_told(monkeypatch, most, rests):
    monkeypatch.setattr(rounds, "MOST_ROUNDS", most)
    vehicle, harness = written(trailer())
    sizing, solved = rounds.choose(vehicle, harness)
    assessed = m.assessed(vehicle, harness, solved, sizing)
    fires = about(sizes_unsettled, assessed)
    assert (fires == []) == rests
    assert rests or {"F1"} < set(fires) <= {*vehicle.devices, *harness.wires}


def crowd(*places: tuple[str, float, str], length_m: float = 1.0):
    """What the rule finds of splices given as (point, offset in m, run)."""
    runs = tuple(
        Run(f"main:{a}-{b}", "main", a, b, length_m, "", False, 0, m.HERE)
        for a, b in (("P", "Q"), ("P", "R"))
    )
    splices = tuple(
        Splice(f"S{n}", "feed", "main", point, offset, (), run)
        for n, (point, offset, run) in enumerate(places, 1)
    )
    vehicle = replace(VEHICLE, runs=runs)
    return about(splices_crowded, m.assessed(vehicle, m.harness(splices=splices)))


@pytest.mark.parametrize(
    ("places", "fires"),
    [
        ([("P", 0.0, ""), ("P", 0.04, "main:P-Q")], []),
        ([("P", 0.04, "main:P-Q"), ("P", 0.06, "main:P-Q")], []),
        ([("P", 0.04, "main:P-Q"), ("P", 0.059, "main:P-Q")], ["S2"]),
        # from both ends of a metre of rope: 500 and 510 mm from P
        ([("P", 0.5, "main:P-Q"), ("Q", 0.49, "main:P-Q")], ["S2"]),
        ([("P", 0.3, "main:P-Q"), ("Q", 0.3, "main:P-Q")], []),
        # along two branches of one point: 5 + 5 mm of rope between them
        ([("P", 0.005, "main:P-Q"), ("P", 0.005, "main:P-R")], ["S2"]),
        ([("P", 0.02, "main:P-Q"), ("P", 0.02, "main:P-R")], []),
        ([("P", 0.0, ""), ("Q", 0.0, "")], []),
        ([("P", 0.0, ""), ("P", 0.0, "")], ["S2"]),
    ],
)
def test_splices_nearer_than_two_centimetres_of_rope_are_told(places, fires):
    assert crowd(*places) == fires


@pytest.mark.parametrize(("hub_mm", "crowded"), [(1000, False), (30, True)])
def test_a_rope_too_short_for_its_splices_is_told(hub_mm, crowded):
    devices = {"s": sensor("a", 5), "t": sensor("b", 5), "u": sensor("d", 5)}
    circuits = {f"c{n}": {"join": [f"s.{n}", f"t.{n}", f"u.{n}"]} for n in range(1, 6)}
    rope = {"main": {"runs": [run(end, "hub", hub_mm) for end in "abd"]}}
    vehicle = vehicle_of(devices, circuits, rope)
    assert bool(about(splices_crowded, m.assessed(vehicle, built(vehicle)))) == crowded
