"""Wires without a fuse, fuses too large or too small, and which of two opens first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    feed_unfused,
    fuse_above_wire,
    fuse_below_load,
    generator_unfused,
    not_selective,
    short_burns_on,
)
from buildbook.sizing.model import Limit, Selectivity
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


@pytest.mark.parametrize(("lasts_s", "fires"), [(4.9, ["101"]), (5.1, [])])
def test_cable_that_a_short_harms_before_the_isolator_is_pulled(lasts_s, fires):
    limit = Limit("unfused", 5.0, lasts_s, "s", "", "", "900 A, and no isolator cuts it off")
    vehicle = m.vehicle((m.BATTERY, m.fuse("F1")), {"in": ("battery.+", "F1.in")})
    wire = m.wire("101", "in", m.end("battery.+"), m.end("F1.in"))
    sizing = m.sizing(m.sized("101", limits=(limit,)))
    assessed = m.assessed(vehicle, m.harness((wire,)), sizing_=sizing)
    assert about(short_burns_on, assessed) == fires
    assert all("no isolator cuts it off" in f.text for f in short_burns_on.check(assessed))


def charged(joins: str, carries_a: float = 50.0):
    """A lamp behind F1, and an alternator of 40 A that joins at a pin."""
    lamp = m.device("lamp", "lamp", "1 2", loads=(m.load("lamp", "lamp.1", "lamp.2", 2.4),))
    generator = m.device("gen", "alternator", "B E")
    supply = {
        "battery": {"between": ["battery.+", "battery.-"]},
        "alternator": {"between": ["gen.B", "gen.E"], "curve": [["900 rpm", "40 A"]]},
    }
    devices = (m.BATTERY, m.fuse("F1"), m.fuse("F2"), lamp, generator)
    circuits = {
        "in": ("battery.+", "F1.in"),
        "out": ("F1.out", "lamp.1"),
        "charge": ("gen.B", joins),
        "after": ("F2.out", "F1.out"),
        "earth": ("battery.-", "gen.E", "lamp.2"),
    }
    wires = tuple(
        m.wire(f"10{n}", name, m.end(pins[0]), m.end(pins[1]))
        for n, (name, pins) in enumerate(circuits.items())
        if name != "earth"
    )
    heat = Limit("heat", 5.0, carries_a, "A", "", "")
    sized = (m.sized(w.id, limits=(heat,)) for w in wires)
    vehicle = m.vehicle(devices, circuits, supply=supply)
    sizing = m.sizing(m.rated("F1", 10, 5, feeds=("lamp",)), *sized)
    return m.assessed(vehicle, m.harness(wires), sizing_=sizing)


def test_alternator_that_joins_behind_a_fuse_is_told():
    (note,) = generator_unfused.check(charged("F1.out"))
    assert (note.about, note.severity) == ("alternator", "note")
    assert "up to 40 A, whatever F1 does" in note.text


def test_alternator_behind_a_fuse_whose_wires_cannot_carry_it_is_an_error():
    (error,) = generator_unfused.check(charged("F1.out", carries_a=39.0))
    assert error.severity == "error"


def test_alternator_with_a_fuse_of_its_own_is_silent():
    assert about(generator_unfused, charged("F2.in")) == []


def test_wire_of_unknown_insulation_is_asked_about():
    sizing = m.sizing(m.rated("F1", 15, 5, weakest_a=0.0), m.sized("101"))
    assessed = m.assessed(m.vehicle((m.fuse("F1"),)), sizing_=sizing)
    assert "give `overload`" not in next(fuse_above_wire.check(assessed)).remedy
    family = replace(assessed.vehicle.wire_families["thin-wall"], overload_c=105.0, rated_c=105.0)
    families = assessed.vehicle.wire_families | {"thin-wall": family}
    unknown = replace(assessed, vehicle=replace(assessed.vehicle, wire_families=families))
    assert "give `overload`" in next(fuse_above_wire.check(unknown)).remedy
