"""Sensors, their supplies and grounds, the data bus, names that cross."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    can_stub,
    can_termination_place,
    ground_loop,
    input_overvolted,
    names_crossed,
    pair_loose,
    quiet_beside_noisy,
    sensor_ground_shared,
    sensor_range,
    sensor_return_shared,
    sensor_supply_shared,
    sensor_supply_wrong,
    signal_unread,
    signal_unscreened,
    switched_too_fast,
)
from buildbook.description import models as written
from buildbook.electrical.model import SensorRow, Sensors, SensorTable
from buildbook.electrical.sensors import Loop
from buildbook.electrical.span import exactly
from buildbook.harness.model import Bundle
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
        "sensor",
        "sensor",
        "1 2 3",
        written=sensor_keys,
        signals=(Signal("sensor", "sensor.2", "sensor.3", "sensor.1", signal),),
    )
    ground = m.device("G1", "ground", "stud", "ring-M6")
    other = m.device(
        "other",
        "sensor",
        "1 2 3",
        signals=(Signal("other", "other.2", "other.3", "other.1", signal),),
    )
    both = any("other.2" in pins for pins in circuits.values())
    vehicle = m.vehicle((ecu, sensor, ground, *((other,) if both else ())), circuits)
    return m.assessed(vehicle, solved_=solved)


@pytest.mark.parametrize(("volts", "fires"), [(12.6, ["sensor.1"]), (5.0, []), (3.0, ["sensor.1"])])
def test_sensor_made_for_5_v(volts, fires):
    solved = m.solved(m.solution("on", {"sensor.1~": volts, "sensor.3~": 0.0}))
    assert about(sensor_supply_wrong, sensed({}, solved)) == fires


def test_sensor_whose_supply_pin_says_5_v_is_made_for_it():
    assessed = sensed({}, m.solved(m.solution("on", {"sensor.1~": 12.0})), written.Signal())
    sensor = assessed.vehicle.devices["sensor"]
    pins = (replace(sensor.pins[0], use="5 V supply"), *sensor.pins[1:])
    assessed.vehicle.devices["sensor"] = replace(sensor, pins=pins)
    assert about(sensor_supply_wrong, assessed) == ["sensor.1"]


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
    assert about(sensor_ground_shared, sensed(circuits)) == fires


@pytest.mark.parametrize(("ohms", "fires"), [(10, ["lamp"]), (1000, [])])
def test_lamp_on_a_sensor_supply(ohms, fires):
    supply = m.source("ecu.B1", "ecu.B1", "ecu.G", volts=5.0, ohms=0.5, limit_a=0.1)
    ecu = m.device("ecu", "controller", "B1 G", sources=(supply,))
    lamp = m.device("lamp", "lamp", "1 2", loads=(m.load("lamp", "lamp.1", "lamp.2", ohms),))
    vehicle = m.vehicle((ecu, lamp), {"supply": ("ecu.B1", "lamp.1")})
    assert about(sensor_supply_shared, m.assessed(vehicle)) == fires


@pytest.mark.parametrize(("volts", "fires"), [(12.0, ["ecu.B5"]), (5.2, [])])
def test_input_for_5_v_that_sees_more(volts, fires):
    solved = m.solved(m.solution("on", {"ecu.B5~": volts + 0.1, "ecu.B3~": 0.1}))
    assert about(input_overvolted, sensed({}, solved)) == fires


def named(circuit, **uses):
    """A circuit between pin a of one device and pin b of another, by what they are called."""
    devices = []
    for device_id, use in uses.items():
        made = m.device(device_id.replace("_", "-"), "lamp", "1")
        devices.append(replace(made, pins=(replace(made.pins[0], use=use),)))
    pins = tuple(device.pins[0].id for device in devices)
    return about(names_crossed, m.assessed(m.vehicle(tuple(devices), {circuit: pins})))


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


@pytest.mark.parametrize(
    ("feed", "output", "crossed"),
    [
        ("left fan", "fan supply", []),
        ("left fan", "right fan", ["left fan signal"]),
        ("", "fan relay", ["left fan signal"]),
    ],
)
def test_a_name_that_a_feed_made_of_one_of_several_coils(feed, output, crossed):
    relays = [m.device(f"K{n}", "relay", "86 85") for n in (1, 2)]
    relays = [
        replace(relay, title=f"{side} fan relay")
        for relay, side in zip(relays, ("Left", "Right"), strict=True)
    ]
    ecu = m.device("ecu", "controller", "A1")
    ecu = replace(ecu, pins=(replace(ecu.pins[0], use=output),))
    joined = {"left fan signal": ("ecu.A1", "K1.86", "K2.86")}
    vehicle = m.vehicle((*relays, ecu), joined, told={"left fan signal": {"feed": feed}})
    assert about(names_crossed, m.assessed(vehicle)) == crossed


def bus(cables, branch_m=0.2, ohms=120, near_m=2.0):
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
        m.wire(
            f"101{d}",
            "bus high",
            m.end(f"{d}.H"),
            m.end("S101", "splice"),
            {"mid": branch_m, "near": near_m}.get(d, 2.0),
        )
        for d in ("far", "mid", "near")
    )
    return m.assessed(vehicle, m.harness(wires))


PAIR = {"data bus": {"type": "twisted pair", "cores": ["bus low", "bus high"]}}


@pytest.mark.parametrize(("length", "fires"), [(0.31, ["mid.H"]), (0.3, [])])
def test_branch_of_a_can_line_is_at_most_300_mm(length, fires):
    assert about(can_stub, bus(PAIR, length)) == fires


@pytest.mark.parametrize(
    ("at", "says"), [("P", "(`wires` of 'bus high', `way` of mid.H)"), ("Q", "(splice at)")]
)
def test_a_splice_at_the_device_already_is_not_to_come_closer(at, says):
    assessed = bus(PAIR, 0.31)
    wires = assessed.harness.wires
    apart = replace(wires["101mid"], b=replace(wires["101mid"].b, point=at))
    harness = replace(assessed.harness, wires={**wires, "101mid": apart})
    (found,) = can_stub.check(replace(assessed, harness=harness))
    assert says in found.remedy


@pytest.mark.parametrize(
    ("branch", "near", "fires"), [(1.4, 1.0, ["data bus"]), (1.2, 1.0, []), (0.2, 2.0, [])]
)
def test_bus_that_goes_on_past_its_resistor(branch, near, fires):
    """A third device 400 mm farther out than the one with the resistor; 300 mm are allowed."""
    assessed = bus(PAIR, branch, near_m=near)
    assert about(can_termination_place, assessed) == fires
    if fires:
        assert about(can_stub, assessed) == []


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
    assert about(signal_unscreened, m.assessed(vehicle)) == fires


def reading(low_v: float, high_v: float, law: str = "ntc", **written_input):
    """A sensor that gives one voltage and another on an input read to 5 V."""
    rows = (SensorRow("cold", None, exactly(high_v)), SensorRow("hot", None, exactly(low_v)))
    table = SensorTable("probe", "probe.1", "probe.2", "ecu.B5", "ecu.B3", law, "on", Loop(), rows)
    ecu = m.device("ecu", "controller", "B3 B5", written={"inputs": {"B5": written_input}})
    vehicle = m.vehicle((ecu, m.device("probe", "sensor", "1 2")))
    return replace(m.assessed(vehicle), sensors=Sensors((table,)))


@pytest.mark.parametrize(
    ("low", "high", "fires"),
    # A twentieth of 5 V is 250 mV; a quarter of a volt above 5 V is tolerance.
    [(4.98, 5.0, ["probe.1"]), (0.5, 4.5, []), (0.0, 10.0, ["probe.1"]), (0.5, 5.2, [])],
)
def test_sensor_that_hardly_moves_its_input_or_leaves_its_range(low, high, fires):
    assert about(sensor_range, reading(low, high)) == fires


def test_pull_up_is_named_where_it_makes_the_reading_flat():
    (found,) = sensor_range.check(reading(4.98, 5.0, **{"pull up": "2.49 ohm"}))
    assert "written as 2.49 ohm" in found.remedy


def test_pickup_has_levels_and_no_range():
    assert about(sensor_range, reading(4.98, 5.0, "hall")) == []


@pytest.mark.parametrize(
    ("end", "amps", "fires"),
    [("S101", 8.5, ["sensor.2"]), ("S101", 0.05, []), ("G1.stud", 8.5, [])],
)
def test_sensor_that_shares_its_return_with_a_pump(end, amps, fires):
    """Spliced they share a wire; at the stud itself they only meet."""
    pump = m.device("pump", "motor", "1 2", loads=(m.load("pump", "pump.1", "pump.2", 1.5),))
    base = sensed({}).vehicle
    vehicle = m.vehicle(
        (*base.devices.values(), pump), {"ground": ("sensor.3", "pump.2", "G1.stud")}
    )
    kind = "splice" if end == "S101" else "pin"
    wires = tuple(
        m.wire(f"101{n}", "ground", m.end(pin), m.end(end, kind))
        for n, pin in zip("ab", ("sensor.3", "pump.2"), strict=True)
    )
    solved = m.solved(m.solution("on", amps={"load:pump": amps}))
    assert about(sensor_return_shared, m.assessed(vehicle, m.harness(wires), solved)) == fires


def test_sensor_is_held_to_what_its_name_says_it_measures():
    crank = replace(m.device("crank-sensor", "sensor", "1"), title="Crank sensor")
    ecu = m.device("ecu", "controller", "B6")
    ecu = replace(ecu, pins=(replace(ecu.pins[0], use="cam signal"),))
    vehicle = m.vehicle((crank, ecu), {"cam signal": ("ecu.B6", "crank-sensor.1")})
    assert about(names_crossed, m.assessed(vehicle)) == ["cam signal"]


def pulsed(hertz, end, **driver):
    """A valve that is switched so fast, between a fuse or relay and an output."""
    load = m.load("valve", "valve.1", "valve.2", 10, duty=0.5, frequency_hz=hertz)
    valve = m.device("valve", "solenoid", "1 2", loads=(load,))
    ecu = m.device(
        "ecu", "controller", "A3", written={"drivers": {"A3": {"limit": "2 A", **driver}}}
    )
    relay = m.device("K1", "relay", "30 87 85 86")
    circuits = {"feed": ("K1.87", "valve.1"), "out": ("valve.2", end)}
    if end.startswith("ecu"):
        circuits["feed"] = ("K1.30", "valve.1")
    return m.assessed(m.vehicle((valve, ecu, relay), circuits))


@pytest.mark.parametrize(("hertz", "fires"), [(300.0, ["ecu.A3"]), (250.0, []), (None, [])])
def test_output_of_250_hz(hertz, fires):
    assessed = pulsed(hertz, "ecu.A3", frequency="250 Hz")
    assert about(switched_too_fast, assessed) == fires


@pytest.mark.parametrize(("hertz", "fires"), [(30.0, ["K1"]), (0.5, []), (None, [])])
def test_relay_is_no_chopper(hertz, fires):
    assert about(switched_too_fast, pulsed(hertz, "valve.2")) == fires


def neighbours(senses, length_m, duty=0.12, screen=None):
    """A sensor's wire beside a coil's in one piece of rope."""
    sensor = m.device("sensor", "sensor", "1 2", written={"senses": senses})
    coil = m.device(
        "coil", "ignition coil", "1 2", loads=(m.load("coil", "coil.1", "coil.2", 2, duty=duty),)
    )
    ecu = m.device("ecu", "controller", "B5")
    circuits = {"signal": ("sensor.1", "ecu.B5"), "coil feed": ("coil.1", "ecu.B5")}
    cables = {"c": {"type": "shielded 1", "cores": ["signal"], "screen": "s"}} if screen else {}
    run = m.run("r", "A", "B", length_m)
    vehicle = m.vehicle((sensor, coil, ecu), circuits, (run,), cables=cables)
    wires = tuple(
        m.wire(str(n), name, m.end(pins[0]), m.end(pins[1]), runs=("r",))
        for n, (name, pins) in enumerate(circuits.items(), 101)
    )
    return m.assessed(vehicle, m.harness(wires, bundles=(Bundle("r", ("101", "102")),)))


@pytest.mark.parametrize(
    ("senses", "length", "kept", "fires"),
    [
        ("inductive", 0.5, {}, ["sensor"]),
        ("inductive", 0.2, {}, []),
        ("inductive", 0.5, {"screen": True}, []),
        ("inductive", 0.5, {"duty": 1.0}, []),
        ("ntc", 0.5, {}, []),
    ],
)
def test_pickup_beside_a_coil(senses, length, kept, fires):
    assert about(quiet_beside_noisy, neighbours(senses, length, **kept)) == fires


@pytest.mark.parametrize(("length", "fires"), [(1.2, ["data bus"]), (0.8, [])])
def test_twisted_bus_beside_a_coil_for_a_metre(length, fires):
    assessed = bus(PAIR)
    coil = m.device(
        "coil", "ignition coil", "1 2", loads=(m.load("coil", "coil.1", "coil.2", 2, duty=0.1),)
    )
    circuits = {name: tuple(p.id for p in c.pins) for name, c in assessed.vehicle.circuits.items()}
    vehicle = m.vehicle(
        (*assessed.vehicle.devices.values(), coil),
        {**circuits, "coil feed": ("coil.1", "coil.1")},
        (m.run("r", "A", "B", length),),
        cables=PAIR,
    )
    wires = (
        *assessed.harness.wires.values(),
        m.wire("105", "coil feed", m.end("coil.1"), m.end("x")),
    )
    bundle = Bundle("r", tuple(w.id for w in wires))
    assert (
        about(quiet_beside_noisy, m.assessed(vehicle, m.harness(wires, bundles=(bundle,)))) == fires
    )


@pytest.mark.parametrize(
    ("ground", "power", "fires"),
    [
        (("ecu.B3",), True, []),
        (("ecu.B3", "G1.stud"), True, ["ground"]),
        (("ecu.B3", "G1.stud"), False, []),
        (("G1.stud",), True, []),
    ],
)
def test_return_that_is_grounded_twice(ground, power, fires):
    """Where the controller has no other ground, the stud is where it gets its own."""
    circuits = {"signal": ("sensor.2", "ecu.B5"), "ground": ("sensor.3", *ground)}
    if power:
        circuits["power ground"] = ("ecu.A2", "G1.stud")
    assert about(ground_loop, sensed(circuits)) == fires


@pytest.mark.parametrize(
    ("beside", "fires"), [(("ecu.B3", "G1.stud"), ["screen"]), (("ecu.B3",), [])]
)
def test_screen_that_ends_once_and_is_grounded_twice(beside, fires):
    """It is joined to the sensor's own pin, which others ground."""
    base = sensed({}).vehicle
    told = {"screen": {"is_screen": True, "cable": "knock cable"}}
    circuits = {
        "screen": ("other.3",),
        "more": ("other.3", *beside),
        "power ground": ("ecu.A2", "G1.stud"),
    }
    other = m.device("other", "sensor", "1 2 3")
    vehicle = m.vehicle((*base.devices.values(), other), circuits, told=told)
    assert about(ground_loop, m.assessed(vehicle)) == fires
