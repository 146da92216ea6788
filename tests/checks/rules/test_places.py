"""What heat, water and movement do where a thing is, connectors within reach, and holes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    connectors_alike,
    pass_through_hole,
    splice_in_moving,
    too_hot,
    unsealed_in_wet,
)
from buildbook.harness.model import Splice
from buildbook.vehicle.model import PassThrough
from tests.checks import minimal as m
from tests.checks.bench import about

HOT = {
    "cabin": {"ambient": "40 degC"},
    "exhaust": {"ambient": "120 degC", "wet": True, "moving": True},
}


def in_zone(zone: str, **plug):
    vehicle = m.vehicle(
        (m.device("a", "sensor", "1"), m.device("b", "sensor", "1")),
        {"feed": ("a.1", "b.1")},
        (m.run("r1", "P", "Q", zone=zone),),
        zones=HOT,
    )
    wire = m.wire("101", "feed", m.end("a.1", connector="a"), m.end("S101", "splice"), runs=("r1",))
    harness = m.harness(
        (wire,), (Splice("S101", "feed", "h", "P", 0, ("101",)),), (m.connector("a", **plug),)
    )
    return m.assessed(vehicle, harness, sizing_=m.sizing(m.sized("101")))


def test_connector_and_wire_of_105_and_100_degrees_in_a_zone_of_120():
    assert about(too_hot, in_zone("exhaust")) == ["a", "101"]
    assert about(too_hot, in_zone("exhaust", temperature="125 degC")) == ["101"]
    assert about(too_hot, in_zone("cabin")) == []


def test_unsealed_connector_in_a_wet_zone():
    assert about(unsealed_in_wet, in_zone("exhaust")) == ["a"]
    assert about(unsealed_in_wet, in_zone("exhaust", sealed=True)) == []
    assert about(unsealed_in_wet, in_zone("cabin")) == []


def test_splice_where_the_harness_moves():
    assert about(splice_in_moving, in_zone("exhaust")) == ["S101"]
    assert about(splice_in_moving, in_zone("cabin")) == []


@pytest.mark.parametrize(
    ("apart_m", "type_", "uses", "fires"),
    [
        (0.2, "two", "feed", ["a"]),
        (0.4, "two", "feed", []),
        (0.2, "three", "feed", []),
        (0.2, "two", "signal", []),
    ],
)
def test_like_connectors_within_reach_and_pinned_differently(apart_m, type_, uses, fires):
    devices = (m.device("a", "sensor", "1"), m.device("b", "sensor", "1"))
    vehicle = m.vehicle(devices, runs=(m.run("r1", "P", "Q", apart_m),))
    plugs = (
        m.connector("a", "two", "P", (m.pin("a", "1", cavity="1", use="signal"),)),
        m.connector("b", type_, "Q", (m.pin("b", "1", cavity="1", use=uses),)),
    )
    assert about(connectors_alike, m.assessed(vehicle, m.harness(connectors=plugs))) == fires


@pytest.mark.parametrize(
    ("cut_mm", "says"),
    [(44, ""), (44.5, ""), (43.5, "error"), (47, "warning"), (None, "")],
)
def test_a_hole_is_cut_to_the_connector(cut_mm, says):
    plug = m.plug(rows=[["1"]], hole="44 mm", shell="36 mm")
    through = PassThrough(
        "X1",
        "P",
        ("h", "k"),
        "gate",
        plug,
        {},
        False,
        m.HERE,
        hole_m=None if cut_mm is None else cut_mm / 1000,
    )
    assessed = m.assessed(replace(m.vehicle(), pass_throughs=(through,)))
    assert [f.severity for f in pass_through_hole.check(assessed)] == ([says] if says else [])


def test_a_shell_wider_than_its_hole_is_told():
    plug = m.plug(rows=[["1"]], hole="30 mm", shell="36 mm")
    through = PassThrough("X1", "P", ("h", "k"), "gate", plug, {}, False, m.HERE)
    assessed = m.assessed(replace(m.vehicle(), pass_throughs=(through,)))
    assert about(pass_through_hole, assessed) == ["X1"]
