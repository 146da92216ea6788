"""Slips in numbers, states and places that leave a vehicle that can be built."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    both_sides_closed,
    curve_unlikely,
    device_off_way,
    ground_loop,
    isolator_open_running,
    limit_unlikely,
    not_as_meant,
    place_unlikely,
    sensor_level,
    sensor_unlikely,
    setting_unlikely,
    signal_unread,
    speed_unlikely,
    twins_unequal,
    unsealed_in_wet,
    value_unlikely,
    works_with_lights_only,
)
from buildbook.checks.stages import Assessed
from tests.checks.bench import about
from tests.checks.over_four_vehicles import CLEAN, assessed_with

RULES = (
    both_sides_closed,
    curve_unlikely,
    device_off_way,
    ground_loop,
    isolator_open_running,
    limit_unlikely,
    place_unlikely,
    sensor_unlikely,
    speed_unlikely,
    twins_unequal,
    value_unlikely,
    works_with_lights_only,
)


def altered(assessed: Assessed, device: str, **changes: object) -> Assessed:
    devices = assessed.vehicle.devices
    found = replace(devices[device], **changes)
    vehicle = replace(assessed.vehicle, devices={**devices, device: found})
    return replace(assessed, vehicle=vehicle)


def with_limit(vehicle: str, device: str, index: int, limit_a: float) -> Assessed:
    assessed = assessed_with(None, vehicle)
    contacts = list(assessed.vehicle.devices[device].contacts)
    contacts[index] = replace(contacts[index], limit_a=limit_a)
    return altered(assessed, device, contacts=tuple(contacts))


def drawing(vehicle: str, device: str, index: int, factor: float) -> Assessed:
    """A load that takes so many times the current."""
    assessed = assessed_with(None, vehicle)
    loads = list(assessed.vehicle.devices[device].loads)
    one = loads[index]
    loads[index] = replace(one, rated_a=one.rated_a * factor, ohms=one.ohms / factor)
    return altered(assessed, device, loads=tuple(loads))


def with_coil(vehicle: str, relay: str, ohms: float) -> Assessed:
    assessed = assessed_with(None, vehicle)
    written = assessed.vehicle.devices[relay].written
    coil = written.coil.model_copy(update={"ohms": ohms})
    return altered(assessed, relay, written=written.model_copy(update={"coil": coil}))


@pytest.mark.parametrize("name", CLEAN)
def test_nothing_is_said_of_vehicles_without_slips(name):
    assessed = assessed_with(None, name)
    assert {rule.RULE: about(rule, assessed) for rule in RULES} == {r.RULE: [] for r in RULES}


@pytest.mark.parametrize(
    ("mistake", "rule", "thing", "cure"),
    [
        ("F01", both_sides_closed, "indicator-switch", "Take 'braking at night' out"),
        ("F04", curve_unlikely, "alternator", "Correct the amps at 6000 rpm (`curve`), perhaps 30"),
        ("F05", speed_unlikely, "cranking", "Correct `engine` of 'cranking': perhaps 250 rpm"),
        ("F08", device_off_way, "F1", "Correct `at`: 'tray'"),
        ("F09", setting_unlikely, "speedometer-lamp", "Correct `works from`"),
        ("F10", ground_loop, "tail lamp earth", "Keep one, and take head out"),
        ("F15", place_unlikely, "starter", "Correct `at`: the point of the rope at the engine; or"),
        ("F19", sensor_level, "d22.2", "Correct `high` of d11.7"),
        ("F20", isolator_open_running, "d2.1-2", "Let d2.1-2 be closed in 'driving hot'"),
        ("N03", signal_unread, "pick-up.1", "Exchange pick-up.1 and pick-up.2"),
        ("N18", works_with_lights_only, "d26.2", "Join d28.1 into a feed that is live without d25"),
        ("N20", place_unlikely, "d19", "Correct `at`"),
    ],
)
def test_slip_is_told_with_its_cure(mistake, rule, thing, cure):
    found = list(rule.check(assessed_with(mistake)))
    assert thing in [f.about for f in found]
    assert next(f.remedy for f in found if f.about == thing).startswith(cure)


def test_zone_of_the_run_is_named_where_the_place_may_be_right():
    (found, *_) = place_unlikely.check(assessed_with("F15"))
    assert "`zone` of the run that ends there: perhaps 'engine'" in found.remedy


@pytest.mark.parametrize(
    ("mistake", "pin", "mend"),
    [
        ("N01", "horn.1", "Join horn.1 into 'signals feed' and not into 'main beam'"),
        ("N04", "fuel-pump.1", "Join fuel-pump.1 into 'ignition feed'"),
    ],
)
def test_of_mends_that_do_as_well_that_within_the_system_which_stops_nothing(mistake, pin, mend):
    (found,) = not_as_meant.check(assessed_with(mistake))
    assert found.about == pin and found.remedy.startswith(mend)


@pytest.mark.parametrize(
    ("limit_a", "cure"),
    [(100, "perhaps to 10 A"), (10_000, "perhaps to 10 A"), (0.01, "perhaps to 10 A")],
)
def test_limit_that_no_terminal_carries(limit_a, cure):
    """The switch ends on pins of 2.8 mm, which the catalogue takes for 20 A."""
    assessed = with_limit("positive-earth", "light-switch", 0, limit_a)
    (found,) = limit_unlikely.check(assessed)
    assert found.about == "light-switch.1-2" and cure in found.remedy


def test_limit_of_twice_the_terminal_is_left_alone():
    assert about(limit_unlikely, with_limit("positive-earth", "light-switch", 0, 40)) == []


@pytest.mark.parametrize(("factor", "odd"), [(0.1, "d23"), (10, "d24"), (0.01, "d23")])
def test_lamp_a_power_of_ten_from_its_twin(factor, odd):
    """Of two the larger is taken for right: a slip is found either way, and both are named."""
    (found,) = twins_unequal.check(drawing("dune-buggy", "d23", 0, factor))
    assert found.about == odd and {"d23", "d24"} <= set(found.text.replace(",", " ").split())


@pytest.mark.parametrize("factor", [0.9, 2, 5])
def test_lamps_that_differ_by_no_slip_are_left_alone(factor):
    assert about(twins_unequal, drawing("dune-buggy", "d23", 0, factor)) == []


@pytest.mark.parametrize(
    ("vehicle", "device", "index", "factor"),
    [
        ("positive-earth", "tail-lamp", 0, 0.01),
        ("positive-earth", "headlamp", 1, 0.1),
        ("two-batteries", "cabin-lamp", 0, 0.01),
        ("two-batteries", "front-lamp", 0, 10),
        ("dune-buggy", "d26", 1, 0.01),
    ],
)
def test_lamp_that_is_too_weak_or_strong_for_what_it_is_for(vehicle, device, index, factor):
    found = about(value_unlikely, drawing(vehicle, device, index, factor))
    assert {name.partition(".")[0] for name in found} == {device}


@pytest.mark.parametrize(
    ("vehicle", "relay", "ohms", "said"),
    [
        ("motorcycle", "start-relay", 450, ["start-relay.coil"]),
        ("dune-buggy", "d12", 9, ["d12.coil"]),
        ("dune-buggy", "d12", 120, []),
    ],
)
def test_coil_that_does_not_go_with_its_contact(vehicle, relay, ohms, said):
    assert about(value_unlikely, with_coil(vehicle, relay, ohms)) == said


def test_two_levers_in_one_switch_are_not_two_sides_of_one():
    assessed = assessed_with("F01")
    contacts = assessed.vehicle.devices["indicator-switch"].contacts
    levers = tuple(replace(c, position=f"{c.position} lever up") for c in contacts)
    pins = {
        id_: replace(pin, use="lamp") if id_.startswith("indicator-switch") else pin
        for id_, pin in assessed.vehicle.pins.items()
    }
    two = altered(assessed, "indicator-switch", contacts=levers)
    two = replace(two, vehicle=replace(two.vehicle, pins=pins))
    assert about(both_sides_closed, two) == []


def test_unsealed_plugs_of_one_type_have_one_cure():
    remedies = {f.remedy for f in unsealed_in_wet.check(assessed_with("F18"))}
    assert len(remedies) == 1 and "t2p" in remedies.pop()


@pytest.mark.parametrize(
    ("vehicle", "device", "index", "factor"),
    [
        ("motorcycle", "pick-up", 0, 1e-3),
        ("dune-buggy", "d20", 0, 0.1),
        ("dune-buggy", "d21", 0, 0.1),
    ],
)
def test_draw_of_a_sensor_that_its_characteristic_does_not_know(vehicle, device, index, factor):
    """The ohms of a coil, of a thermistor's points, and of a track are written twice."""
    found = about(sensor_unlikely, drawing(vehicle, device, index, factor))
    assert {name.partition(".")[0] for name in found} == {device}


@pytest.mark.parametrize(("ohms", "said"), [(0.22, ["pick-up.1"]), (5000, [])])
def test_coil_of_ohms_that_no_pickup_has(ohms, said):
    assessed = assessed_with(None, "motorcycle")
    device = assessed.vehicle.devices["pick-up"]
    (signal,) = device.signals
    coil = signal.written.inductive.model_copy(update={"ohms": ohms})
    signal = replace(signal, written=signal.written.model_copy(update={"inductive": coil}))
    found = about(sensor_unlikely, altered(assessed, "pick-up", signals=(signal,), loads=()))
    assert found == said
