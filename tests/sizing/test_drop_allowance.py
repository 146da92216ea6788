"""Volts that a load may lose, by kind and system."""

import pytest

from buildbook.sizing.drop_allowance import allowance, is_signal
from tests.checks import minimal as m


def lamp(nominal="12 V", critical=False, kind="lamp", **circuit):
    device = m.device(
        "x", kind, "1 2", written={"critical": critical}, loads=(m.load("x", "x.1", "x.2", 2.4),)
    )
    told = {"vehicle": {"name": "Bench", "date": "2026-03-01", "nominal": nominal}}
    vehicle = m.vehicle(
        (device,), {"feed": ("x.1",), "back": ("x.2",)}, told={"feed": {"written": circuit}}, **told
    )
    return vehicle, device.loads[0]


@pytest.mark.parametrize(
    ("told", "cranking", "volts", "kind"),
    [
        ({}, False, 0.36, "ordinary"),  # 3 % of 12 V
        ({"critical": True}, False, 0.24, "critical"),  # 2 %
        ({}, True, 0.72, "cranking"),  # twice, AC 43.13-1B table 11-6
        ({"critical": True}, True, 0.72, "cranking"),
        ({"kind": "starter"}, False, 0.72, "cranking"),
        ({"kind": "starter", "critical": True}, True, 0.48, "cranking"),
        ({"nominal": "24 V"}, False, 0.72, "ordinary"),
        ({"nominal": "24 V", "critical": True}, False, 0.48, "critical"),
    ],
)
def test_shares_of_the_nominal_voltage(told, cranking, volts, kind):
    found = allowance(*lamp(**told), cranking)
    assert (found.volts, found.kind) == (pytest.approx(volts), kind)


def test_24_v_systems_may_lose_twice_what_12_v_ones_may():
    # AC 43.13-1B, table 11-6: 0.5 V of 14, 1 V of 28 continuous; 1 and 2 V intermittent
    for told in ({}, {"critical": True}):
        twelve, twenty_four = (allowance(*lamp(n, **told)).volts for n in ("14 V", "28 V"))
        assert twenty_four == pytest.approx(2 * twelve)


def test_the_authors_volts_outrank_the_shares_and_the_least_of_them_counts():
    vehicle, load = lamp(critical=True, drop="0.9 V")
    assert allowance(vehicle, load).volts == 0.9
    assert allowance(vehicle, load, cranking=True).kind == "author"


def test_a_critical_circuit_makes_its_load_critical():
    assert allowance(*lamp(critical=False)).kind == "ordinary"
    vehicle, load = lamp()
    device = m.device("x", "lamp", "1 2", loads=(load,))
    told = {"feed": {"written": {"critical": True}}}
    vehicle = m.vehicle((device,), {"feed": ("x.1",), "back": ("x.2",)}, told=told)
    assert allowance(vehicle, load).kind == "critical"


def test_signals_have_no_allowance_to_keep():
    assert is_signal(*lamp(signal=True))
    assert not is_signal(*lamp())
