"""How a test lamp looks in place of the battery's feed, against sums by hand."""

from __future__ import annotations

import pytest
from scipy.optimize import brentq

from buildbook.electrical.case import Case
from buildbook.electrical.settle import Settler
from buildbook.faultfinding.lamp_in_the_feed import lamp_for, look, looks_of_test_lamp
from tests.electrical.networks import STATE, element, network

FEED = element("pin:battery", "pin", "plus", "post", 0.001)


def looks(*elements):
    settler = Settler(network(FEED, *elements, emf_v=12.6))
    return looks_of_test_lamp(settler, [Case(STATE)], "pin:battery", lamp_for(12.0))


def lamp_v(ohms):
    """Of 12.6 V, with the handbook's exponent: the lamp's volts above a resistance."""
    return brentq(lambda v: v + ohms * 1.75 * (v / 12) ** 0.55 - 12.6, 0.0, 12.6)


@pytest.mark.parametrize("ohms", [0.01, 1.0, 4.0, 10.0, 30.0, 100.0, 1000.0])
def test_lamp_looks_as_its_light_at_the_volts_by_hand(ohms):
    """Light as volts to the 3.4: half of it from 82 percent of the volts, a hundredth from 26."""
    volts = lamp_v(ohms)
    by_hand = "bright" if volts > 0.816 * 12 else "glows" if volts > 0.258 * 12 else "dark"
    assert looks(element("load", "load", "post", "zero", ohms)) == [by_hand]


def test_a_short_lights_it_fully_and_a_clock_leaves_it_dark():
    assert looks(element("short", "wire", "post", "zero", 0.01)) == ["bright"]
    assert looks(element("clock", "load", "post", "zero", 3000.0)) == ["dark"]


def test_relay_that_starves_itself_flickers():
    """Its load lights the lamp; the relay has then too little, lets go, and pulls in again."""
    relay = element("K1", "contact", "post", "87", 0.005, control=("post", "zero"), control_v=7.2)
    coil, load = (
        element("coil", "load", "post", "zero", 90.0),
        element("pump", "load", "87", "zero", 1.5),
    )
    assert looks(relay, coil, load) == ["flickers"]


def test_no_volts_no_light():
    assert look(lamp_for(12.0), 0.0) == "dark"
