"""Pulsed drivers: their means by hand, and against a transient of the circuit simulator."""

import re
import shutil
import subprocess

import pytest

from buildbook.electrical.case import Case
from buildbook.electrical.settle import Settler
from buildbook.electrical.swings import swings
from tests.electrical.networks import STATE, element, network


def solve(net, power=1.0):
    settler, cases = Settler(net), [Case(STATE, power)]
    return settler.solution(cases, settler.settle(cases), 0)


def one_driver(duty):
    return network(
        element("feed", "wire", "plus", "1", 0.5),
        element("injector", "load", "1", "2", 12.0),
        element("driver", "contact", "2", "zero", 0.1, duty=duty),
        ohms=1e-6,
    )


def test_a_low_side_driver_reads_the_mean_of_open_and_closed():
    # Closed: 12 V / 12.6 ohm = 0.9524 A, node 2 at 0.0952 V; open: node 2 at 12 V.
    found = solve(one_driver(0.45))
    assert found.current_a["injector"] == pytest.approx(0.45 * 12 / 12.6, rel=1e-5)
    assert found.volts["2"] == pytest.approx(0.45 * 1.2 / 12.6 + 0.55 * 12, rel=1e-5)
    assert found.volts["1"] == pytest.approx(12 - 0.45 * 6 / 12.6, rel=1e-5)


def test_it_heats_by_the_root_mean_square_of_its_current():
    found = solve(one_driver(0.25), power=0.5)
    assert found.current_a["injector"] == pytest.approx(0.5 * 12 / 12.6, rel=1e-5)


@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")
def test_two_drivers_on_one_feed_agree_with_a_transient_of_switches(tmp_path):
    # 100 and 131 Hz beat over the second that is averaged, so that every overlap occurs.
    found = solve(
        network(
            element("feed", "wire", "plus", "1", 0.2),
            element("one", "load", "1", "2", 12.0),
            element("two", "load", "1", "3", 8.0),
            element("D1", "contact", "2", "zero", 0.05, duty=0.45),
            element("D2", "contact", "3", "zero", 0.05, duty=0.3),
            ohms=0.01,
        )
    )
    text = """* two pulsed low side drivers on one feed
V1 b 0 12
Rb b p 0.01
Rf p n1 0.2
R1 n1 n2 12
R2 n1 n3 8
S1 n2 0 g1 0 sw
S2 n3 0 g2 0 sw
.model sw SW(Ron=0.05 Roff=1e9 Vt=0.5 Vh=0)
Vg1 g1 0 PULSE(0 1 0 1u 1u 4.499m 10m)
Vg2 g2 0 PULSE(0 1 0 1u 1u 2.28908m 7.633588m)
.control
tran 20u 1 0 20u
meas tran m1 avg v(n1)
meas tran m2 avg v(n2)
meas tran m3 avg v(n3)
quit
.endc
.end
"""
    path = tmp_path / "pulses.cir"
    path.write_text(text)
    ran = subprocess.run(
        ["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120, check=False
    )
    means = dict(re.findall(r"^(m\d)\s*=\s*(\S+)", ran.stdout, re.MULTILINE))
    assert len(means) == 3, ran.stdout + ran.stderr
    for node in "123":
        assert found.volts[node] == pytest.approx(float(means[f"m{node}"]), abs=0.02)


def swing_at(net, node):
    settler, cases = Settler(net), [Case(STATE)]
    (found,) = swings(settler, cases, settler.settle(cases))
    return found.across(node, "zero")


def test_a_pulsed_node_swings_between_driver_closed_and_open():
    found = swing_at(one_driver(0.45), "2")
    assert found.low_v == pytest.approx(0.1 * 12 / 12.6, abs=1e-4)
    assert found.high_v == pytest.approx(12.0, abs=1e-4)
    assert found.mean_v == pytest.approx(0.45 * 1.2 / 12.6 + 0.55 * 12, rel=1e-5)
    assert found.by == ("driver",)


def test_a_feed_swings_by_what_all_pulses_take_of_it():
    # Either load takes 1 A through 0.5 ohm when it is on, or nearly; both together 24 V / 13 ohm.
    net = network(
        element("feed", "wire", "plus", "1", 0.5),
        element("one", "load", "1", "2", 12.0),
        element("two", "load", "1", "3", 12.0),
        element("D1", "contact", "2", "zero", 1e-6, duty=0.5),
        element("D2", "contact", "3", "zero", 1e-6, duty=0.5),
        ohms=1e-6,
    )
    found = swing_at(net, "1")
    assert found.high_v == pytest.approx(12.0, abs=0.02)
    assert found.low_v == pytest.approx(12 - 0.5 * 24 / 13, abs=0.02)


def test_what_no_pulse_reaches_does_not_swing():
    assert swing_at(one_driver(0.45), "plus") is None
