"""Sensors, their supplies and grounds, the data bus, names that cross."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    can_stub,
    input_volts,
    names_crossed,
    pair_loose,
    sensor_ground,
    sensor_supply,
    signal_unread,
    supply_shared,
    unscreened,
)
from buildbook.description import models as written
from buildbook.vehicle.model import Signal
from tests.checks import minimal as m
from tests.checks.bench import about

ECU = {
    "inputs": {"B5": {"ground": "B3", "pull up": "10 kohm"}},
    "drivers": {"A3": {"limit": "1 A"}},
    "sources": {"B1": {"volts": "5 V"}},
    "power": {"feeds": ["A1"], "grounds": ["B3", "A2"]},
}
FOLLOWS = written.Signal.model_validate(
    {"volts": {"of": "5 V", "points": [["0 bar", "0.5 V"], ["10 bar", "4.5 V"]]}}
)


def sensed(circuits, solved=None, signal=FOLLOWS, **sensor_keys):
    """A sensor of three pins (supply, signal, ground) beside a controller and a ground stud."""
    ecu = m.device("ecu", "controller", "A1 A2 A3 B1 B3 B5", written=ECU)
    sensor = m.device(
        "sensor", "sensor", "1 2 3", written=sensor_keys,
        signals=(Signal("sensor", "sensor.2", "sensor.3", "sensor.1", signal),),
    )  # fmt: skip
    ground = m.device("G1", "ground", "stud", "ring-M6")
    other = m.device(
        "other", "sensor", "1 2 3",
        signals=(Signal("other", "other.2", "other.3", "other.1", signal),),
    )  # fmt: skip
    both = any("other.2" in pins for pins in circuits.values())
    vehicle = m.vehicle((ecu, sensor, ground, *((other,) if both else ())), circuits)
    return m.context(vehicle, solved_=solved)


@pytest.mark.parametrize(("volts", "fires"), [(12.6, ["sensor.1"]), (5.0, []), (3.0, ["sensor.1"])])
def test_sensor_made_for_5_v(volts, fires):
    solved = m.solved(m.solution("on", {"sensor.1~": volts, "sensor.3~": 0.0}))
    assert about(sensor_supply, sensed({}, solved)) == fires


def test_sensor_whose_supply_pin_says_5_v_is_made_for_it():
    context = sensed({}, m.solved(m.solution("on", {"sensor.1~": 12.0})), written.Signal())
    sensor = context.vehicle.devices["sensor"]
    pins = (replace(sensor.pins[0], use="5 V supply"), *sensor.pins[1:])
    context.vehicle.devices["sensor"] = replace(sensor, pins=pins)
    assert about(sensor_supply, context) == ["sensor.1"]


@pytest.mark.parametrize(
    ("joined", "fires"),
    [
        (("sensor.2", "ecu.B5"), []),
        (("sensor.2", "ecu.A3"), ["sensor.2"]),
        (("sensor.2", "ecu.B1"), ["sensor.2"]),
        (("sensor.2", "G1.stud"), ["sensor.2"]),
        (("sensor.2", "other.2", "ecu.B5"), ["sensor.2", "other.2"]),
    ],
)
def test_signal_ends_on_an_input_of_its_own(joined, fires):
    assert about(signal_unread, sensed({"signal": joined})) == fires


@pytest.mark.parametrize(("ground", "fires"), [("G1.stud", ["sensor.2"]), ("ecu.B3", [])])
def test_sensor_grounded_at_the_chassis_instead_of_its_controller(ground, fires):
    circuits = {"signal": ("sensor.2", "ecu.B5"), "ground": ("sensor.3", ground)}
    assert about(sensor_ground, sensed(circuits)) == fires


@pytest.mark.parametrize(("ohms", "fires"), [(10, ["lamp"]), (1000, [])])
def test_lamp_on_a_sensor_supply(ohms, fires):
    supply = m.source("ecu.B1", "ecu.B1", "ecu.G", volts=5.0, ohms=0.5, limit_a=0.1)
    ecu = m.device("ecu", "controller", "B1 G", sources=(supply,))
    lamp = m.device("lamp", "lamp", "1 2", loads=(m.load("lamp", "lamp.1", "lamp.2", ohms),))
    vehicle = m.vehicle((ecu, lamp), {"supply": ("ecu.B1", "lamp.1")})
    assert about(supply_shared, m.context(vehicle)) == fires


@pytest.mark.parametrize(("volts", "fires"), [(12.0, ["ecu.B5"]), (5.2, [])])
def test_input_for_5_v_that_sees_more(volts, fires):
    solved = m.solved(m.solution("on", {"ecu.B5~": volts + 0.1, "ecu.B3~": 0.1}))
    assert about(input_volts, sensed({}, solved)) == fires


def named(circuit, **uses):
    """A circuit between pin a of one device and pin b of another, by what they are called."""
    devices = []
    for device_id, use in uses.items():
        made = m.device(device_id.replace("_", "-"), "lamp", "1")
        devices.append(replace(made, pins=(replace(made.pins[0], use=use),)))
    pins = tuple(device.pins[0].id for device in devices)
    return about(names_crossed, m.context(m.vehicle(tuple(devices), {circuit: pins})))


@pytest.mark.parametrize(
    ("circuit", "uses", "crossed"),
    [
        ("left fan feed", {"fan_left": "feed", "relay": "output"}, False),
        ("left fan feed", {"fan_right": "feed", "relay": "output"}, True),
        ("injector 2 switched", {"injector_2": "controller", "ecu": "injector 3"}, True),
        ("injector 2 switched", {"injector_2": "controller", "ecu": "injector 2"}, False),
        ("lamp", {"lamp_a": "feed", "lamp_b": "ground"}, True),
        ("data bus high", {"display": "data bus low", "ecu": "data bus high"}, True),
        ("dipped beams", {"lamp_left": "dipped", "lamp_right": "dipped", "k": "out"}, False),
    ],
)
def test_names_that_belong_apart(circuit, uses, crossed):
    assert named(circuit, **uses) == ([circuit] if crossed else [])


def bus(cables, branch_m=0.2, ohms=120):
    resistor = {
        "far": m.load("far", "far.H", "far.L", ohms),
        "near": m.load("near", "near.H", "near.L", 120),
    }
    devices = tuple(m.device(d, "controller", "H L", loads=(resistor[d],)) for d in resistor)
    mid = m.device("mid", "controller", "H L")
    circuits = {"bus high": ("far.H", "mid.H", "near.H"), "bus low": ("far.L", "mid.L", "near.L")}
    told = {name: {"written": {"signal": True}} for name in circuits}
    vehicle = m.vehicle((*devices, mid), circuits, told=told, cables=cables)
    wires = tuple(
        m.wire(f"101{d}", "bus high", m.end(f"{d}.H"), m.end("S101", "splice"),
               branch_m if d == "mid" else 2.0)
        for d in ("far", "mid", "near")
    )  # fmt: skip
    return m.context(vehicle, m.harness(wires))


PAIR = {"data bus": {"type": "twisted pair", "cores": ["bus low", "bus high"]}}


@pytest.mark.parametrize(("length", "fires"), [(0.31, ["mid.H"]), (0.3, [])])
def test_branch_of_a_can_line_is_at_most_300_mm(length, fires):
    assert about(can_stub, bus(PAIR, length)) == fires


def test_bus_without_a_twisted_pair():
    assert about(pair_loose, bus({})) == ["bus high"]
    assert about(pair_loose, bus(PAIR)) == []


@pytest.mark.parametrize(
    ("senses", "cables", "fires"),
    [
        ("inductive", {}, ["sensor"]),
        ("hall", {}, []),
        ("knock", {"c": {"type": "shielded 1", "cores": ["signal"], "screen": "screen"}}, []),
        ("knock", {"c": {"type": "twisted pair", "cores": ["signal"]}}, ["sensor"]),
    ],
)
def test_weak_signals_are_screened(senses, cables, fires):
    sensor = m.device("sensor", "sensor", "1 2", written={"senses": senses})
    ecu = m.device("ecu", "controller", "B5")
    vehicle = m.vehicle((sensor, ecu), {"signal": ("sensor.1", "ecu.B5")}, cables=cables)
    assert about(unscreened, m.context(vehicle)) == fires
