"""Wires without a fuse, fuses too large or too small, and which of two opens first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    feed_unfused,
    fuse_above_wire,
    fuse_below_load,
    not_selective,
)
from buildbook.sizing.model import Selectivity
from buildbook.vehicle.model import Bond, Contact
from tests.checks import minimal as m
from tests.checks.bench import about


def fed_lamp(via: tuple[str, str]):
    """A lamp fed from the battery by two wires, through a device between them."""
    middle = m.fuse("F1") if via[0].startswith("F1") else m.device("bus", "load", "a b")
    if middle.id == "bus":
        middle = replace(middle, bonds=(Bond("x", "bus", "bus.a", "bus.b", 0.001, "bus"),))
    lamp = m.device("lamp", "lamp", "1 2", loads=(m.load("lamp", "lamp.1", "lamp.2", 2.4),))
    vehicle = m.vehicle(
        (m.BATTERY, middle, lamp), {"in": ("battery.+", via[0]), "out": (via[1], "lamp.1")}
    )
    wires = (
        m.wire("101", "in", m.end("battery.+"), m.end(via[0])),
        m.wire("102", "out", m.end(via[1]), m.end("lamp.1")),
    )
    return m.assessed(vehicle, m.harness(wires))


def test_wire_past_a_bus_bar_without_a_fuse_is_an_error():
    found = {f.about: f.severity for f in feed_unfused.check(fed_lamp(("bus.a", "bus.b")))}
    assert found == {"101": "error", "102": "error"}


def test_wire_behind_a_fuse_is_silent_and_the_one_to_it_is_a_note():
    found = {f.about: f.severity for f in feed_unfused.check(fed_lamp(("F1.in", "F1.out")))}
    assert found == {"101": "note"}


@pytest.mark.parametrize(("inverted", "says"), [(False, True), (True, False)])
def test_wire_past_a_make_contact_is_live_only_while_it_is_pulled_in(inverted, says):
    contact = Contact(
        "K1", "bus", "bus.a", "bus.b", frozenset(), ("bus.c", "bus.d"), 6.0, inverted, kind="relay"
    )
    fed = fed_lamp(("bus.a", "bus.b"))
    relay = replace(fed.vehicle.devices["bus"], kind="relay", bonds=(), contacts=(contact,))
    vehicle = replace(fed.vehicle, devices={**fed.vehicle.devices, "bus": relay})
    found = {f.about: f.text for f in feed_unfused.check(replace(fed, vehicle=vehicle))}
    assert "pulled in" not in found["101"]
    assert ("pulled in" in found["102"]) is says


@pytest.mark.parametrize(("rating", "fires"), [(15, True), (10, False)])
def test_fuse_above_its_weakest_wire(rating, fires):
    sizing = m.sizing(m.rated("F1", rating, 5, weakest_a=11.0))
    found = about(fuse_above_wire, m.assessed(m.vehicle((m.fuse("F1"),)), sizing_=sizing))
    assert found == (["F1"] if fires else [])


@pytest.mark.parametrize(("load", "severity"), [(7.4, []), (7.6, ["warning"]), (10.1, ["error"])])
def test_10_a_fuse_carries_7_5_a_for_long(load, severity):
    # Three quarters of the rating: common practice, no source (fuses.yaml, continuous_load).
    sizing = m.sizing(m.rated("F1", 10, load))
    assessed = m.assessed(m.vehicle((m.fuse("F1"),)), sizing_=sizing)
    assert [f.severity for f in fuse_below_load.check(assessed)] == severity


@pytest.mark.parametrize(("holds", "fires"), [(False, True), (True, False)])
def test_fuse_that_may_open_with_the_one_below_it(holds, fires):
    pair = Selectivity("F1", "F2", holds, 60.0, 0.5, 0.2)
    sizing = m.sizing(m.rated("F1", 20, 5, selective=(pair,)), m.rated("F2", 15, 5))
    vehicle = m.vehicle((m.fuse("F1"), m.fuse("F2")))
    assert about(not_selective, m.assessed(vehicle, sizing_=sizing)) == (["F2"] if fires else [])


def test_opening_times_are_written_out():
    pair = Selectivity("F1", "F2", False, 60.0, 600.0, 0.021)
    sizing = m.sizing(m.rated("F1", 20, 5, selective=(pair,)), m.rated("F2", 15, 5))
    vehicle = m.vehicle((m.fuse("F1"), m.fuse("F2")))
    (found,) = not_selective.check(m.assessed(vehicle, sizing_=sizing))
    assert "may take 600 s, F1 may open after 0.021 s" in found.text
