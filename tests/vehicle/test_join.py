"""What the joined vehicle holds, device by device."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildbook.description.read import read_folder
from buildbook.vehicle.join import join

GOOD = Path(__file__).with_name("good.yaml")


@pytest.fixture(scope="module")
def car(tmp_path_factory):
    folder = tmp_path_factory.mktemp("car")
    (folder / "vehicle.yaml").write_bytes(GOOD.read_bytes())
    (folder / "pump.md").write_text("The pump hums.\n")
    reading, problems = read_folder(folder)
    assert problems == []
    vehicle, problems = join(reading)
    assert problems == []
    return vehicle


def test_a_relay_has_its_terminals_coil_and_contact(car):
    relay = car.devices["K1"]
    assert [pin.name for pin in relay.pins] == ["30", "87", "85", "86"]
    (coil,), (contact,) = relay.loads, relay.contacts
    assert (coil.id, coil.from_pin, coil.to_pin, coil.ohms) == ("K1.coil", "K1.86", "K1.85", 90)
    assert (contact.id, contact.kind, contact.limit_a) == ("K1.30-87", "relay", 30)
    assert contact.control == ("K1.86", "K1.85")
    # pulls in at 60 % of 12 V
    assert contact.control_v == pytest.approx(7.2)


def test_a_fuse_on_a_bus_is_bonded_to_the_panel(car):
    bonds = {bond.id: (bond.from_pin, bond.to_pin, bond.kind) for bond in car.devices["F1"].bonds}
    assert bonds == {
        "F1": ("F1.in", "F1.out", "fuse"),
        "F1.bus": ("panel.B", "F1.in", "bus"),
    }
    assert (car.devices["F1"].panel, car.devices["F1"].point) == ("panel", "dash")


def test_a_ground_is_a_joint_to_the_chassis(car):
    (bond,) = car.devices["G2"].bonds
    assert (bond.id, bond.from_pin, bond.to_pin, bond.ohms) == ("G2", "G2.stud", "chassis", 0.003)
    assert car.pins["G2.stud"].stud


def test_a_controller_drives_only_while_it_is_fed(car):
    ecu = car.devices["ecu"]
    (driver,) = ecu.contacts
    assert (driver.id, driver.from_pin, driver.to_pin) == ("ecu.4", "ecu.4", "ecu.2")
    assert (driver.kind, driver.states) == ("driver", {"on", "running"})
    assert (driver.control, driver.control_v) == (("ecu.1", "ecu.2"), 6.0)
    assert [(b.id, b.kind) for b in ecu.bonds] == [("ecu.2-3", "bus")]


def test_a_pull_up_and_a_reference_are_sources(car):
    sources = {source.id: source for source in car.devices["ecu"].sources}
    assert (sources["ecu.5"].volts, sources["ecu.5"].ohms) == (5.0, 2200.0)
    assert (sources["ecu.6"].volts, sources["ecu.6"].limit_a) == (5.0, 0.1)
    assert {source.minus_pin for source in sources.values()} == {"ecu.2"}


def test_a_load_in_amps_is_ohms_at_nominal_voltage(car):
    (load,) = car.devices["pump"].loads
    # 12 V / 6 A
    assert (load.id, load.ohms, load.rated_a) == ("pump", 2.0, 6.0)
    assert (load.from_pin, load.to_pin) == ("pump.1", "pump.2")
    assert (load.inrush_a, load.inrush_s) == (18.0, 0.15)
    assert load.states == {"running"}


def test_all_states_but_one(car):
    assert car.devices["lamp"].loads[0].states == {"on", "running"}


def test_circuits_are_numbered_by_system(car):
    numbers = {name: circuit.number for name, circuit in car.circuits.items()}
    assert (numbers["main feed"], numbers["charging"]) == (101, 102)
    assert (numbers["relay feed"], numbers["pump feed"]) == (201, 202)
    assert len(set(numbers.values())) == len(numbers)


def test_a_device_with_one_pin_may_be_named_alone(car):
    assert [pin.id for pin in car.circuits["pump return"].pins] == ["pump.2", "G1.stud"]


def test_a_stud_takes_several_circuits(car):
    assert set(car.circuit_of_pin["G1.stud"]) == {"case ground", "pump return"}


def test_cables_hold_their_cores_and_screen(car):
    found = {name: (c.cable, c.is_screen) for name, c in car.circuits.items() if c.cable}
    assert found == {
        "temperature": ("C1", False),
        "five volts": ("C1", False),
        "screen": ("C1", True),
    }


def test_the_pass_through_keeps_what_the_author_fixed(car):
    (joint,) = car.pass_throughs
    assert (joint.device, joint.point, joint.harnesses) == ("X1", "bulkhead", ("cabin", "bay"))
    assert joint.fixed == {"1": "pump feed"}


def test_connectors_hold_every_cavity(car):
    assert [pin.id for pin in car.connectors["ecu"].pins] == [f"ecu.{n}" for n in range(1, 7)]
    assert "X1" not in car.connectors


def test_notes_stand_by_what_they_are_about(car):
    assert car.notes == {"system engine": "The pump hums.\n"}


def test_the_rope_keeps_its_lengths(car):
    assert sum(run.length_m for run in car.runs) == pytest.approx(0.9 + 0.6 + 0.4 + 0.7)
    assert [run.id for run in car.runs if run.estimated] == ["bay:corner-engine"]


def test_a_pin_is_found_by_its_use_wherever_one_is_named(tmp_path):
    text = GOOD.read_text(encoding="utf-8")
    changed = text.replace("between: [alternator.B,", "between: [alternator.output,").replace(
        "join: [alternator.E, G1], system: supply}",
        "join: [alternator.E, G1], system: supply, wires: {G1: {size: 6 mm2}}}",
    )
    (tmp_path / "vehicle.yaml").write_text(changed, encoding="utf-8")
    (tmp_path / "pump.md").write_text("The pump hums.\n")
    reading, problems = read_folder(tmp_path)
    assert problems == []
    vehicle, problems = join(reading)
    assert problems == []
    assert vehicle.description.supply.alternator.between[0] == "alternator.B"
    assert list(vehicle.circuits["case ground"].written.wires) == ["G1.stud"]
