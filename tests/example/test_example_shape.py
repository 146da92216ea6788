"""The example holds everything that a full car of its kind has."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import networkx
import pytest

from buildbook.description.read import read_folder
from buildbook.harness.build import build_harness
from buildbook.harness.model import Harness
from buildbook.vehicle.join import join
from buildbook.vehicle.model import Vehicle

FOLDER = Path(__file__).parents[2] / "example_vehicle"


@pytest.fixture(scope="module")
def vehicle() -> Vehicle:
    reading, problems = read_folder(FOLDER)
    assert problems == []
    assert reading is not None
    joined, problems = join(reading)
    assert problems == []
    assert joined is not None
    return joined


@pytest.fixture(scope="module")
def harness(vehicle: Vehicle) -> Harness:
    built, problems = build_harness(vehicle)
    assert problems == []
    assert built is not None
    return built


def harnesses_of(harness: Harness, circuit: str) -> set[str]:
    return {wire.harness for wire in harness.wires.values() if wire.circuit == circuit}


def kinds(vehicle: Vehicle) -> Counter[str]:
    return Counter(device.kind for device in vehicle.devices.values())


def test_at_least_55_devices_120_circuits_and_200_wires(vehicle: Vehicle, harness: Harness):
    assert len(vehicle.devices) >= 55
    assert len(vehicle.circuits) >= 120
    assert len(harness.wires) >= 200


def test_every_rope_is_a_tree(vehicle: Vehicle):
    for harness_id in vehicle.description.rope:
        runs = [run for run in vehicle.runs if run.harness == harness_id]
        graph = networkx.MultiGraph([(run.from_point, run.to_point) for run in runs])
        assert networkx.is_tree(graph), harness_id


def test_the_harnesses_join_only_through_these_connectors(vehicle: Vehicle):
    joints = {frozenset(passing.harnesses) for passing in vehicle.pass_throughs}
    assert joints == {
        frozenset(pair)
        for pair in (
            ("cabin", "engine"),
            ("cabin", "accessories"),
            ("cabin", "rear"),
            ("cabin", "steering"),
            ("engine", "gearbox"),
            ("accessories", "bumper"),
        )
    }


def test_engine_and_accessories_cross_the_bulkhead_in_two_places(vehicle: Vehicle):
    outside = {"engine", "accessories"}
    points = {p.point for p in vehicle.pass_throughs if outside & set(p.harnesses)}
    assert {"bulkhead-engine", "bulkhead-accessories"} <= points


def test_every_harness_has_wires(vehicle: Vehicle, harness: Harness):
    used = {wire.harness for wire in harness.wires.values()}
    assert used == set(vehicle.description.rope)


def test_the_steering_wheel_uses_the_connector_it_came_with(vehicle: Vehicle):
    wheel = next(p for p in vehicle.pass_throughs if "steering" in p.harnesses)
    assert wheel.on_vehicle
    assert len(wheel.fixed) == 4


def test_the_gearbox_takes_its_sensors_with_it(vehicle: Vehicle):
    points = {r.from_point for r in vehicle.runs if r.harness == "gearbox"}
    points |= {r.to_point for r in vehicle.runs if r.harness == "gearbox"}
    for device in ("speed-sensor", "reverse-switch", "exhaust-probe"):
        assert vehicle.devices[device].point in points


def test_pulling_the_isolator_also_breaks_the_controller_feed(vehicle: Vehicle):
    assert len(vehicle.devices["isolator"].contacts) == 2
    assert {p.id for p in vehicle.circuits["controller feed"].pins} == {"isolator.4", "ecu.A1"}


def test_the_alternator_has_sense_and_charge_lamp_wires(vehicle: Vehicle):
    assert vehicle.circuit_of_pin["alternator.S"] == ("alternator sense",)
    assert vehicle.circuit_of_pin["alternator.L"] == ("charge lamp",)


def test_the_panel_carries_28_blade_fuses_and_10_relays(vehicle: Vehicle):
    on_panel = Counter(d.kind for d in vehicle.devices.values() if d.panel == "panel")
    assert on_panel == {"fuse": 28, "relay": 10}


def test_the_controller_has_two_connectors(vehicle: Vehicle):
    assert len(vehicle.devices["ecu"].connectors) == 2


def test_five_coils_of_three_wires_split_at_the_breakout(vehicle: Vehicle, harness: Harness):
    coils = vehicle.all_of("ignition coil")
    assert [len(coil.pins) for coil in coils] == [3] * 5
    for circuit in ("coil feed", "coil ground"):
        splices = [s for s in harness.splices.values() if s.circuit == circuit]
        assert [splice.point for splice in splices] == ["coil-breakout"]
        assert len(splices[0].wires) == 6


def test_the_cam_sensor_is_grounded_at_the_engine(vehicle: Vehicle, harness: Harness):
    pins = {p.id for p in vehicle.circuits["cam sensor ground"].pins}
    assert pins == {"cam-sensor.3", "G4.stud"}
    assert harnesses_of(harness, "cam sensor ground") == {"engine"}


def test_knock_screens_are_tied_at_one_end_only(harness: Harness):
    for end in ("front", "rear"):
        wires = [w for w in harness.wires.values() if w.circuit == f"{end} knock screen"]
        ends = [e for wire in wires for e in (wire.a, wire.b) if e.kind != "half"]
        assert sorted(e.kind for e in ends) == ["capped", "pin"]


def test_boost_sensor_and_solenoid_sit_in_the_cabin(vehicle: Vehicle):
    zones = {
        run.zone
        for run in vehicle.runs
        for device in ("boost-sensor", "boost-solenoid")
        if vehicle.devices[device].point in (run.from_point, run.to_point)
    }
    assert zones == {"cabin"}


def test_throttle_and_pedal_have_six_pins_each(vehicle: Vehicle):
    assert len(vehicle.devices["throttle"].pins) == 6
    assert len(vehicle.devices["pedal"].pins) == 6


def test_the_data_bus_is_a_twisted_pair(vehicle: Vehicle):
    cable = vehicle.description.cables["data bus cable"]
    assert cable.type == "twisted pair"
    for core, pins in ((cable.cores[0], {"ecu.A26", "display.3", "logger.3"}),):
        assert {p.id for p in vehicle.circuits[core].pins} == pins


def test_lamps_motors_and_sensors_are_all_there(vehicle: Vehicle):
    counted = kinds(vehicle)
    assert counted["injector"] == 5
    assert counted["horn"] == 2
    assert counted["lamp"] >= 11
    named = (
        "battery starter starter-solenoid alternator isolator switch-panel display logger "
        "crank-sensor cam-sensor knock-front knock-rear coolant-temperature air-temperature "
        "oil-temperature oil-pressure fuel-pressure cam-solenoid fuel-pump fan-left fan-right "
        "headlamp-left headlamp-right tail-left tail-right rain-lamp reverse-left reverse-right "
        "wiper washer flasher"
    )
    assert set(named.split()) <= set(vehicle.devices)


def test_something_is_left_long_and_something_is_spare(vehicle: Vehicle):
    later = [d.point for d in vehicle.devices.values() if d.written.fitted == "later"]
    estimated = {r.to_point for r in vehicle.runs if r.estimated}
    assert later and set(later) <= estimated
    statuses = Counter(c.written.status for c in vehicle.circuits.values())
    assert statuses["spare"] >= 1
    assert statuses["future"] >= 1


def test_every_load_is_asked_for_in_some_state(vehicle: Vehicle):
    loads = [load for device in vehicle.devices.values() for load in device.loads]
    assert [load.id for load in loads if not load.states] == []


def test_units_are_mixed_as_people_mix_them(harness: Harness, vehicle: Vehicle):
    sizes = {c.written.size.label for c in vehicle.circuits.values() if c.written.size}
    assert "AWG 20" in sizes
    inches = next(r for r in vehicle.runs if "logger" in (r.from_point, r.to_point))
    assert inches.length_m == pytest.approx(22 * 0.0254)  # exact: ISO 80000-3, 1 in = 25.4 mm


def test_suppliers_prices_and_dates_have_the_gaps_real_lists_have(vehicle: Vehicle):
    parts = vehicle.description.parts
    assert len(vehicle.description.suppliers) == 4
    assert any(part.price is None for part in parts.values())
    dates = [part.dated for part in parts.values() if part.dated]
    assert (max(dates) - min(dates)).days > 365


def test_notes_carry_cautions_where_the_work_is(vehicle: Vehicle):
    cautions = [name for name, text in vehicle.notes.items() if "**Caution" in text]
    assert len(cautions) >= 8
