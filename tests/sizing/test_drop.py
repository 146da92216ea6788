"""Voltage drop and the enlarging of wires."""

import pytest

from buildbook.electrical.model import Branch
from buildbook.harness.model import Addend, End, Wire
from buildbook.sizing.drop import enlarge_for_drop, wire_drop_v
from buildbook.sizing.path import LoadPath
from buildbook.sizing.place import Candidate, Place
from buildbook.vehicle.model import Load
from tests.sizing.handbook import AIRCRAFT, FOOT_M, TABLE_11_7

LOAD = Load("lamp", "lamp", "lamp.1", "lamp.2", 1.4, 1.0, frozenset(["on"]), 0.0)
CANDIDATES = tuple(Candidate(AIRCRAFT, c) for c in AIRCRAFT.conductors)


def place(name, length_m, signal=False, pinned=None):
    ends = End("pin", f"{name}.a", "here"), End("pin", f"{name}.b", "there")
    wire = Wire(name, "c", "h", *ends, (), (), (Addend("run", length_m),), "RD", "aircraft")
    return Place(wire, CANDIDATES, 20.0, 1, (), signal, pinned)


def path(places, allowed_v):
    feed = tuple(Branch(f"wire:{n}", "wire", n, "a", "b", 1.0) for n in places)
    return LoadPath(LOAD, "on", 20.0, feed, (), 0.0, allowed_v, False, tuple(places))


def enlarge(places, allowed_v, amps=20.0, start=0):
    return enlarge_for_drop(
        [path(places, allowed_v)],
        places,
        dict.fromkeys(places, start),
        {"on": dict.fromkeys(places, amps)},
        dict.fromkeys(places, 1.0),
    )


@pytest.mark.parametrize(("feet", "amps", "gauge", "ohm_per_foot", "volts"), TABLE_11_7)
def test_drops_of_table_11_7(feet, amps, gauge, ohm_per_foot, volts):
    # AC 43.13-1B, table 11-7
    size = next(i for i, c in enumerate(CANDIDATES) if c.label == gauge)
    found = wire_drop_v(place("w", feet * FOOT_M), size, amps, 1.0)
    assert found == pytest.approx(volts, rel=0.015)  # one row is printed rounded up


def test_example_1_of_the_circular_needs_awg_8():
    # AC 43.13-1B, 11-68, example 1: 50 ft, 28 V system (1 V allowed), 20 A continuous: No. 8
    places = {"w": place("w", 50 * FOOT_M)}
    assert CANDIDATES[enlarge(places, 1.0)["w"]].label == "AWG 8"


def test_two_wires_share_the_allowance():
    places = {"feed": place("feed", 6.0), "return": place("return", 1.0)}
    grown = enlarge(places, 0.4)
    total = sum(wire_drop_v(places[w], size, 20.0, 1.0) for w, size in grown.items())
    assert total <= 0.4
    for wire in grown:
        thinner = {**grown, wire: grown[wire] - 1}
        if thinner[wire] >= 0:
            total = sum(wire_drop_v(places[w], size, 20.0, 1.0) for w, size in thinner.items())
            assert total > 0.4 or wire == "return"


@pytest.mark.parametrize("amps", [1.0, 3.0, 8.0, 15.0, 40.0])
def test_more_current_or_length_is_never_thinner(amps):
    short, long = {"w": place("w", 3.0)}, {"w": place("w", 5.0)}
    assert enlarge(short, 0.3, amps * 1.3)["w"] >= enlarge(short, 0.3, amps)["w"]
    assert enlarge(long, 0.3, amps)["w"] >= enlarge(short, 0.3, amps)["w"]


def test_authors_size_and_signals_are_left_alone():
    pinned = place("pinned", 6.0, pinned=CANDIDATES[2])
    places = {"pinned": pinned, "signal": place("signal", 6.0, signal=True)}
    assert enlarge(places, 0.1) == {"pinned": 0, "signal": 0}


def test_path_that_a_fixed_wire_spoils_does_not_swell_the_others_for_nothing():
    spoiled = {
        "fixed": place("fixed", 30.0, pinned=CANDIDATES[0]),
        "feeder": place("feeder", 0.3),
    }
    grown = enlarge(spoiled, 0.36)["feeder"]
    assert wire_drop_v(spoiled["feeder"], grown, 20.0, 1.0) <= 0.18
    assert wire_drop_v(spoiled["feeder"], max(grown - 1, 0), 20.0, 1.0) > 0.18 or grown == 0
