"""Every node of every state against a general-purpose circuit simulator run on our netlist."""

import re
import shutil
import subprocess

import pytest

from buildbook.electrical.case import Case
from buildbook.electrical.settle import Settler
from tests.electrical.frozen_netlist import netlist, node_numbers
from tests.electrical.networks import STATE, element, network

pytestmark = pytest.mark.skipif(
    shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed"
)


def simulate(text, folder):
    """Node -> volts from ngspice's own operating point."""
    path = folder / "state.cir"
    path.write_text(text)
    ran = subprocess.run(
        ["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120, check=False
    )
    found = re.findall(r"^v\((\w+)\) = (\S+)$", ran.stdout, re.MULTILINE)
    assert found, ran.stdout + ran.stderr
    return {node: float(volts) for node, volts in found}


def assert_agrees(solution, folder):
    simulated = simulate(netlist(solution), folder) | {"0": 0.0}
    numbers = node_numbers(solution)
    off = {
        name: (solution.volts[name], simulated[number])
        for name, number in numbers.items()
        if abs(solution.volts[name] - simulated[number]) > 1e-3
    }
    assert not off
    assert len(simulated) == len(solution.volts)


@pytest.mark.parametrize("limit_a", [0.0, 3.0, 50.0])
def test_relay_alternator_and_regulated_feed_agree(limit_a, tmp_path):
    net = network(
        element("b+", "wire", "gen", "plus", 0.01),
        element("feed", "wire", "plus", "86", 1.0),
        element("coil", "load", "86", "zero", 90.0),
        element("K1", "contact", "plus", "87", 0.005, control=("86", "zero"), control_v=7.2),
        element("lamp", "load", "87", "chassis", 2.0),
        element("strap", "ground", "chassis", "zero", 0.003),
        element("5V", "source", "sensor", "chassis", 0.5, 5.0),
        element("sensor", "load", "sensor", "chassis", 1000.0),
        element("floating", "wire", "cap", "nowhere", 0.01),
        emf_v=12.7,
        ohms=0.008,
        charge_ohms=0.3,
        alternator_plus="gen",
        alternator_minus="zero",
        regulated_v=14.2,
        limit_a={STATE: limit_a},
    )
    settler = Settler(net)
    cases = [Case(STATE)]
    assert_agrees(settler.solution(cases, settler.settle(cases), 0), tmp_path)


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_every_state_of_a_whole_vehicle_agrees(vehicle, request, tmp_path):
    result = request.getfixturevalue(vehicle)
    for solution in [*result.solved.meter.values(), *result.solved.heating.values()]:
        assert_agrees(solution, tmp_path)
