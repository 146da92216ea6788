"""What contacts and terminals carry, and coils that nothing quietens."""

from __future__ import annotations

import pytest

from buildbook.checks.rules import (
    coil_unsuppressed,
    contact_overloaded,
    terminal_overloaded,
)
from tests.checks import minimal as m
from tests.checks.bench import about


@pytest.mark.parametrize(("amps", "fires"), [(5.1, True), (5.0, False)])
def test_switch_above_its_limit(amps, fires):
    contact = m.switch("S1.1-2", "S1.1", "S1.2", limit_a=5.0)
    vehicle = m.vehicle((m.device("S1", "switch", "1 2", contacts=(contact,)),))
    solved = m.solved(m.solution("on", amps={"contact:S1.1-2": -amps}))
    found = about(contact_overloaded, m.assessed(vehicle, solved_=solved))
    assert found == (["S1.1-2"] if fires else [])


@pytest.mark.parametrize(("through", "fires"), [(0.5, ["ecu.B1"]), (2200.0, [])])
def test_sensor_supply_is_judged_and_a_pull_up_is_not(through, fires):
    out = m.source("ecu.B1", "ecu.B1", "ecu.G", volts=5.0, ohms=through, limit_a=0.1)
    vehicle = m.vehicle((m.device("ecu", "controller", "B1 G", sources=(out,)),))
    solved = m.solved(m.solution("on", amps={"source:ecu.B1": 0.2}))
    assert about(contact_overloaded, m.assessed(vehicle, solved_=solved)) == fires


@pytest.mark.parametrize(("amps", "fires"), [(12.5, ["a.1"]), (11.9, [])])
def test_1_5_mm_pin_carries_12_a(amps, fires):
    devices = (m.device("a", "load", "1", "pin-1.5"), m.device("b", "load", "1", "ring-M8"))
    vehicle = m.vehicle(devices, {"feed": ("a.1", "b.1")})
    ends = m.end("a.1", contact="pin-1.5"), m.end("b.1", contact="ring-M8")
    solved = m.solved(m.solution("on", amps={"wire:101": amps}))
    assessed = m.assessed(vehicle, m.harness((m.wire("101", "feed", *ends),)), solved)
    assert about(terminal_overloaded, assessed) == fires


@pytest.mark.parametrize(
    ("label", "area", "fires"),
    # A size 16 contact takes AWG 16 (1.31 mm2) at most and AWG 20 (0.52 mm2) at least.
    [("1.5 mm2", 1.5, ["X1.8/a"]), ("1 mm2", 1.0, []), ("0.35 mm2", 0.35, ["X1.8/a"])],
)
def test_wire_that_does_not_fit_its_contact(label, area, fires):
    vehicle = m.vehicle((m.device("b", "load", "1", "ring-M8"),), {"feed": ("b.1", "b.1")})
    ends = m.end("X1.8/a", contact="size-16"), m.end("b.1", contact="ring-M8")
    harness = m.harness((m.wire("101", "feed", *ends),))
    sized = m.sized("101", label, area_mm2=area)
    assessed = m.assessed(vehicle, harness, m.solved(m.solution("on")), m.sizing(sized))
    assert about(terminal_overloaded, assessed) == fires


@pytest.mark.parametrize(
    ("connector", "governing", "says", "silent"),
    [
        ("", "drop", "`contact` of the pin, or of b", "plug"),
        ("", "heat", "It is heat that asks for the size", "plug"),
        ("b", "heat", "`contacts` of the plug type", "`contact` of the pin"),
        ("b", "drop", "`contacts` of the plug type", "heat"),
    ],
)
def test_what_helps_a_stud_is_told_of_a_stud(connector, governing, says, silent):
    vehicle = m.vehicle((m.device("b", "load", "1", "ring-M6"),), {"feed": ("b.1", "b.1")})
    ends = m.end("b.1", contact="ring-M6", connector=connector), m.end("S1", "splice")
    harness = m.harness((m.wire("101", "feed", *ends),))
    sized = m.sized("101", "95 mm2", area_mm2=95.0, governing=governing)
    solved = m.solved(m.solution("on", amps={"wire:101": 1.0}))
    (found,) = terminal_overloaded.check(m.assessed(vehicle, harness, solved, m.sizing(sized)))
    assert says in found.remedy and silent not in found.remedy


@pytest.mark.parametrize(
    ("connector", "says"), [("", "`contact` of the pin"), ("b", "Use a larger")]
)
def test_what_helps_a_stud_with_too_much_current(connector, says):
    vehicle = m.vehicle((m.device("b", "load", "1", "ring-M6"),), {"feed": ("b.1", "b.1")})
    ends = m.end("b.1", contact="ring-M6", connector=connector), m.end("S1", "splice")
    solved = m.solved(m.solution("on", amps={"wire:101": 5000.0}))
    harness = m.harness((m.wire("101", "feed", *ends),))
    (found,) = terminal_overloaded.check(m.assessed(vehicle, harness, solved))
    assert says in found.remedy and ("of b" in found.remedy) == (connector == "")


@pytest.mark.parametrize(("across", "fires"), [("none", ["K1.coil"]), ("diode", [])])
def test_relay_coil_without_diode_or_resistor(across, fires):
    coil = m.load("K1.coil", "K1.86", "K1.85", 90)
    relay = m.device(
        "K1", "relay", "85 86", loads=(coil,), written={"coil": {"suppressed": across}}
    )
    assert about(coil_unsuppressed, m.assessed(m.vehicle((relay,)))) == fires


@pytest.mark.parametrize(("safe", "fires"), [(False, ["valve"]), (True, [])])
def test_solenoid_on_a_driver_that_does_not_take_up_its_spike(safe, fires):
    valve = m.device("valve", "solenoid", "1 2", loads=(m.load("valve", "valve.1", "valve.2", 10),))
    drivers = {"drivers": {"A5": {"limit": "2 A", "suppressed": safe}}}
    contact = m.switch("ecu.A5", "ecu.A5", "ecu.A2", kind="driver")
    ecu = m.device("ecu", "controller", "A2 A5", contacts=(contact,), written=drivers)
    vehicle = m.vehicle((valve, ecu), {"valve output": ("valve.2", "ecu.A5")})
    assert about(coil_unsuppressed, m.assessed(vehicle)) == fires
