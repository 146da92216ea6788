"""Exported netlists: run in the circuit simulator they settle where the book says."""

from __future__ import annotations

import re
import shutil

import pytest

from buildbook.electrical.netlist import netlist
from buildbook.electrical.network import build_network, network_ohms
from buildbook.export.files import netlists
from tests.electrical.networks import STATE, element, network
from tests.electrical.test_simulator import simulate

pytestmark = pytest.mark.skipif(
    shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed"
)


def simulated(text, folder):
    """Volts by the names that the netlist's own comments give its nodes."""
    names = dict(re.findall(r"^\* (\w+) = (.+)$", text, re.MULTILINE))
    found = simulate(text, folder) | {"0": 0.0}
    return {name: found[number] for number, name in names.items()}


VEHICLES = ["two_wire", "positive_earth", "two_batteries", "motorcycle", "lapwing"]


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_every_state_settles_where_it_is_printed(vehicle, request, tmp_path):
    result = request.getfixturevalue(vehicle)
    for state, text in netlists(result).items():
        volts = result.solved.meter[state].volts
        found = simulated(text, tmp_path)
        assert found.keys() == volts.keys()
        off = {n: (v, found[n]) for n, v in volts.items() if abs(v - found[n]) > 1e-3}
        assert not off, state


def test_contacts_settle_in_the_simulator_and_are_not_the_answer(motorcycle, tmp_path):
    """A battery that is nearly flat no longer pulls the starter's relay in (55 % of 12 V)."""
    text = netlists(motorcycle)["cranking"]
    assert simulated(text, tmp_path)["starter.M"] > 8
    assert text.count("-12.7)") >= 2
    assert simulated(text.replace("-12.7)", "-6.2)"), tmp_path)["starter.M"] < 0.1


RELAY = {"control": ("plus", "zero"), "control_v": 7.2, "holds_v": 3.6}


@pytest.mark.parametrize(("volts", "closed"), [(7.0, False), (7.5, True)])
def test_relay_from_rest_needs_its_pull_in(volts, closed, tmp_path):
    """From rest: pulled in from 7.2 V, and not at the 3.6 V at which it would let go."""
    net = network(
        element("coil", "load", "plus", "zero", 90.0),
        element(
            "K1",
            "contact",
            "plus",
            "87",
            0.005,
            control=("plus", "zero"),
            control_v=7.2,
            holds_v=3.6,
        ),
        element("lamp", "load", "87", "zero", 100.0),
        emf_v=volts,
    )
    assert (simulated(netlist(net, STATE, {}), tmp_path)["87"] > 1) == closed


def test_a_pulsed_output_says_what_its_resistance_stands_for(motorcycle):
    text = netlists(motorcycle)["idle"]
    assert "stands for 0.05 ohm that conducts for 0.3 of the time" in text


def test_what_is_not_in_a_state_is_not_in_its_netlist(motorcycle):
    ohms = network_ohms(motorcycle.solved)
    net = build_network(motorcycle.vehicle, motorcycle.harness, *ohms)
    assert "contact:start-button.1-2" in netlist(net, "cranking", {})
    assert "contact:start-button.1-2" not in netlist(net, "idle", {})
