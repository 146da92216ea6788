"""The simulator's own models of devices against the package's laws: two ways to one answer."""

from __future__ import annotations

import shutil

import numpy as np
import pytest

from buildbook.electrical.case import Case
from buildbook.electrical.laws.filament import filament
from buildbook.electrical.laws.motor import FAN, PUMP, motor
from buildbook.electrical.laws.transmitter import Transmitter
from buildbook.electrical.settle import Settler
from tests.electrical.networks import STATE, element, network
from tests.simulator.deck import Deck
from tests.simulator.run import operating_point

pytestmark = pytest.mark.skipif(
    shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed"
)
VOLTS = [-13.5, 0.02, 1.0, 5.0, 9.0, 12.0, 14.4]
SHUNT_OHM = 1e-3


def currents(add, folder):
    """What a device takes at each of the volts, A: each behind a shunt, all in one deck."""
    deck = Deck("zero")
    for place, volts in enumerate(VOLTS):
        deck.source(f"feed {place}", "zero", volts, 1e-6)
        deck.resistor(f"feed {place}", f"pin {place}", SHUNT_OHM)
        add(deck, f"pin {place}", "zero")
    found = operating_point(deck, folder)
    pairs = [(found[f"feed {i}"].mean, found[f"pin {i}"].mean) for i in range(len(VOLTS))]
    return np.array([(feed - pin) / SHUNT_OHM for feed, pin in pairs]), np.array(
        [pin for _, pin in pairs]
    )


def test_filament(tmp_path):
    found, at = currents(lambda d, a, b: d.filament(a, b, 12.0, 1.75, None), tmp_path)
    assert found == pytest.approx(filament(12.0, 1.75).current_a(at), rel=2e-3, abs=1e-4)


@pytest.mark.parametrize(("turns", "steady"), [("fan", FAN), ("pump", PUMP)])
def test_motor(turns, steady, tmp_path):
    found, at = currents(lambda d, a, b: d.motor(a, b, 13.5, 9.5, 28.0, turns), tmp_path)
    by_law = motor(13.5, 9.5, 28.0, steady).current_a(at)
    assert found == pytest.approx(by_law, rel=5e-3, abs=5e-3)


def test_transmitter(tmp_path):
    found, at = currents(lambda d, a, b: d.transmitter(a, b, 0.012, 8.0), tmp_path)
    assert found == pytest.approx(Transmitter(0.012, 8.0).current_a(at), abs=1e-5)


@pytest.mark.parametrize("volts", [3.0, 5.0, 7.5])
def test_relay_from_rest(volts, tmp_path):
    deck = Deck("zero")
    deck.source("coil", "zero", volts, 0.1)
    deck.resistor("coil", "zero", 90.0)
    deck.source("feed", "zero", 12.0, 0.1)
    deck.switch(("feed", "out"), ("coil", "zero"), 7.2, 3.6, 0.005)
    deck.resistor("out", "zero", 10.0)
    closed = operating_point(deck, tmp_path)["out"].mean > 6
    limits = {"control": ("coil", "zero"), "control_v": 7.2, "holds_v": 3.6, "either_way": True}
    settler = Settler(
        network(
            element("coil feed", "source", "coil", "zero", 0.1, volts),
            element("coil", "load", "coil", "zero", 90.0),
            element("relay", "contact", "plus", "out", 0.005, **limits),
            element("lamp", "load", "out", "zero", 10.0),
        )
    )
    settled = settler.settle([Case(STATE)])
    assert closed == (settled.volts[settler.prepared.index["out"], 0] > 6)
