"""Volts lost on the way, while it cranks and while it runs."""

from __future__ import annotations

import re
import shutil

import pytest

from buildbook.checks.rules import (
    cranking_voltage,
    drop_above_allowance,
    load_never_works,
)
from buildbook.electrical.model import Branch
from buildbook.pipeline import look_over
from buildbook.sizing.load_paths import load_paths
from tests.checks import minimal as m
from tests.checks.bench import about
from tests.conftest import TESTS


def lamp_at(volts: float, critical: bool = False, **told):
    lamp = m.device(
        "lamp",
        "lamp",
        "1 2",
        written={"critical": critical},
        loads=(m.load("lamp", "lamp.1", "lamp.2", 2.4, states=("on",)),),
    )
    vehicle = m.vehicle(
        (m.BATTERY, lamp),
        {"feed": ("battery.+", "lamp.1"), "back": ("lamp.2", "battery.-")},
        told=told,
    )
    branches = (
        Branch("wire:101", "wire", "101", "battery.+~", "lamp.1~", 0.1),
        Branch("wire:102", "wire", "102", "lamp.2~", "battery.-~", 0.1),
        Branch("load:lamp", "load", "lamp", "lamp.1~", "lamp.2~", 2.4),
    )
    half = (12.0 - volts) / 2
    at = {"battery.+~": 12.0, "lamp.1~": 12.0 - half, "lamp.2~": half, "battery.-~": 0.0}
    wires = (m.wire("101", "feed", m.end("battery.+"), m.end("lamp.1")),)
    sizing = m.sizing(m.sized("101", limits=(m.unmet_drop(),)))
    solved = m.solved(m.solution("on", at, branches=branches))
    return m.assessed(vehicle, m.harness(wires), solved, sizing)


def test_drop_of_0_40_v_is_above_three_per_cent_of_12_v():
    (found,) = drop_above_allowance.check(lamp_at(11.60))
    assert (found.about, found.severity) == ("lamp", "warning")
    assert "0.40 V" in found.text and "0.36 V" in found.text and "101" in found.remedy


def test_drop_just_above_its_allowance_does_not_read_as_equal_to_it():
    (found,) = drop_above_allowance.check(lamp_at(11.637))
    assert "0.363 V" in found.text and "0.360 V is allowed" in found.text


def test_drop_of_0_30_v_is_silent_unless_critical():
    assert about(drop_above_allowance, lamp_at(11.70)) == []
    assert about(drop_above_allowance, lamp_at(11.70, critical=True)) == ["lamp"]


def test_drop_of_a_signal_is_not_judged():
    assert about(drop_above_allowance, lamp_at(9.0, feed={"written": {"signal": True}})) == []


def while_cranking(volts: float):
    """A lamp and a starter at 12 V and one state, 'cranking', in which each has `volts` left."""
    starter = m.device(
        "starter",
        "starter",
        "1 2",
        loads=(m.load("starter", "starter.1", "starter.2", 0.06, states=("cranking",)),),
    )
    lamp = m.device("lamp", "lamp", "1 2", loads=(m.load("lamp", "lamp.1", "lamp.2", 2.4),))
    vehicle = m.vehicle(
        (m.BATTERY, starter, lamp),
        {
            "feed": ("battery.+", "lamp.1", "starter.1"),
            "back": ("lamp.2", "starter.2", "battery.-"),
        },
    )
    at = {"battery.+~": 12.0, "battery.-~": 0.0}
    branches = []
    for name in ("lamp", "starter"):
        at |= {f"{name}.1~": 12.0, f"{name}.2~": 12.0 - volts}
        branches += [
            Branch(f"wire:{name}+", "wire", f"{name}+", "battery.+~", f"{name}.1~", 0.001),
            Branch(f"wire:{name}-", "wire", f"{name}-", f"{name}.2~", "battery.-~", 0.001),
        ]
    solution = m.solution("cranking", at, branches=tuple(branches))
    return m.assessed(vehicle, solved_=m.solved(solution))


@pytest.mark.parametrize(
    ("volts", "fires"),
    [
        (11.50, []),  # 0.50 V are above a lamp's 0.36 V
        (11.29, []),  # 0.71 V: the starter may lose twice 3 % of 12 V, 0.72 V
        (11.27, ["starter"]),
        (8.0, ["starter"]),
    ],
)
def test_only_the_starter_is_judged_while_it_turns(volts, fires):
    assert about(drop_above_allowance, while_cranking(volts)) == fires


@pytest.mark.parametrize(("volts", "fires"), [(5.9, ["ecu"]), (6.1, [])])
def test_controller_below_its_works_from_while_cranking(volts, fires):
    starter = m.device(
        "starter",
        "starter",
        "M G",
        loads=(m.load("starter", "M", "G", 0.05, states=("cranking",)),),
    )
    power = {"feeds": "A1", "grounds": "A2", "works from": "6 V"}
    ecu = m.device("ecu", "controller", "A1 A2", written={"power": power})
    solved = m.solved(
        m.solution("cranking", {"ecu.A1~": volts + 0.4, "ecu.A2~": 0.4}),
        m.solution("on", {"ecu.A1~": 3.0}),
    )
    assert about(cranking_voltage, m.assessed(m.vehicle((starter, ecu)), solved_=solved)) == fires


@pytest.mark.parametrize(("volts", "fires"), [(5.0, ["lamp"]), (11.0, [])])
def test_load_that_never_gets_half_its_voltage(volts, fires):
    load = m.load("lamp", "lamp.1", "lamp.2", 2.4, rated_a=5.0)
    vehicle = m.vehicle((m.device("lamp", "lamp", "1 2", loads=(load,)),))
    solved = m.solved(m.solution("on", {"lamp.1~": volts, "lamp.2~": 0.0}))
    assert about(load_never_works, m.assessed(vehicle, solved_=solved)) == fires


def test_load_that_is_not_fitted_yet_is_not_judged():
    load = m.load("lamp", "lamp.1", "lamp.2", 2.4, rated_a=5.0)
    lamp = m.device("lamp", "lamp", "1 2", loads=(load,), written={"fitted": "later"})
    assert about(load_never_works, m.assessed(m.vehicle((lamp,)))) == []


@pytest.mark.parametrize("name", ["motorcycle", "two-wire", "two-batteries"])
def test_a_finding_on_drop_says_what_the_wires_take(name, tmp_path):
    """Against the volts between the ends of each wire on the load's way, in the state it names."""
    folder = tmp_path / name
    shutil.copytree(TESTS / "vehicles" / name, folder)
    head = folder / "vehicle.yaml"
    text = head.read_text("utf-8")
    head.write_text(re.sub(r"(?m)^(  (?:critical )?drop:) .*$", r"\1 0.5 %", text), "utf-8")
    checked, problems = look_over(folder)
    assert checked is not None, problems
    told = [f for f in checked.findings if "and wire " in f.text]
    assert told
    for finding in told:
        state = re.search(r"in '(.*?)'", finding.text)[1]
        meter, heating = checked.solved.meter[state], checked.solved.heating[state]
        paths = load_paths(checked.vehicle, {state: heating}, (finding.about,))
        wires = [checked.harness.wires[name] for name in {n for path in paths for n in path.wires}]
        across = sum(abs(meter.across(wire.a.node, wire.b.node)) for wire in wires)
        said = float(re.search(r"and wire ([\d.]+) V", finding.text)[1])
        assert said == pytest.approx(across, rel=0.1, abs=0.02), finding.text


def test_only_wires_whose_growing_would_matter_are_named(tmp_path):
    """All are held by their author; the cables to the battery lose next to nothing."""
    folder = tmp_path / "car"
    shutil.copytree(TESTS / "vehicles" / "two-wire", folder)
    head = folder / "vehicle.yaml"
    text = head.read_text("utf-8").replace("drop: 5 %", "drop: 2 %")
    for name, size in (("panel feed", 10), ("battery ground", 10), ("lamp feed", 0.5)):
        text = re.sub(rf"(  {name}: {{.*)}}", rf"\1, size: {size} mm2}}", text)
    head.write_text(text, "utf-8")
    checked, problems = look_over(folder)
    assert checked is not None, problems
    (found,) = [f for f in checked.findings if f.rule == "drop-above-allowance"]
    wires = {wire.circuit: wire.id for wire in checked.harness.wires.values()}
    assert wires["lamp feed"] in found.remedy
    assert wires["panel feed"] not in found.remedy and wires["battery ground"] not in found.remedy
