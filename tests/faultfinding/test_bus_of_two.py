"""A data bus between two devices: what an ohmmeter shows across it (ISO 11898: 120 ohm each)."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from buildbook.faultfinding.bolted import ohms_to_body
from buildbook.faultfinding.bus import bus_readings
from buildbook.faultfinding.costs import seconds
from buildbook.faultfinding.model import Fault
from tests.electrical.sensor_bench import CONTACT_OHM, WIRE_OHM, bench

LOGGER = """  logger:
    kind: controller
    name: Logger
    at: nose
    system: control
    plug: six
    unused: ["5", "6"]
    pins: {1: feed, 2: ground, 3: data bus high, 4: data bus low}
    power: {feeds: ["1"], grounds: ["2"], works from: 6 V}
    draws:
      - {from: 3, to: 4, ohms: 120 ohm, in: {except: ["off"]}, works from: 300 mV, what: it hears}
  valve:
    kind: solenoid"""
BUS = (
    ("  valve:\n    kind: solenoid", LOGGER),
    ("15: valve, 16: spare}", "15: valve, 16: data bus high, 17: data bus low}"),
    ('unused: ["17", "18"', 'unused: ["18"'),
    (
        "      - {from: 10, to: 2, ohms: 250 ohm,",
        '      - {from: 16, to: 17, ohms: 120 ohm, in: {except: ["off"]}, works from: 300 mV,\n'
        "        what: the controller hears}\n      - {from: 10, to: 2, ohms: 250 ohm,",
    ),
    ("valve.1, gauge.1]", "valve.1, gauge.1, logger.1]"),
    ("[ecu.2, ground]", "[ecu.2, ground, logger.2]"),
    (
        "  valve switched:",
        "  data bus high: {join: [ecu.16, logger.3], system: control, signal: yes}\n"
        "  data bus low: {join: [ecu.17, logger.4], system: control, signal: yes}\n"
        "  valve switched:",
    ),
    (
        "rope:\n",
        "cables:\n  data bus cable: {type: twisted pair, cores: [data bus high, data bus low]}\n\n"
        "rope:\n",
    ),
)
WAY_OHM = 2 * WIRE_OHM + 4 * CONTACT_OHM
"""Of both wires from one plug to the other, with the contacts at their ends."""


def parallel(one, other):
    return 1 / (1 / one + 1 / other)


def read():
    at = bench(*BUS)
    wire = next(w.id for w in at.harness.wires.values() if w.circuit == "data bus high")
    faults = [
        Fault(f"open {branch}", branch.partition(":")[0], branch, "")
        for branch in (f"wire:{wire}", "load:logger", "pin:ecu.16", "load:valve")
    ]
    faults.append(Fault(f"short wire:{wire}", "wire", f"wire:{wire}", "", "short"))
    found = bus_readings(at.vehicle, at.harness, at.solved, faults)
    places = list(zip(found.nodes, found.what, strict=True))

    def ohms(name, node, what="bus ohms"):
        shown = found.well if name is None else found.broken[name]
        return 2 ** shown[places.index((node, what))]

    return SimpleNamespace(found=found, ohms=ohms, wire=wire)


def test_a_whole_bus_reads_sixty_ohm_at_either_end():
    at = read()
    for node in ("ecu.16", "logger.3"):
        assert at.ohms(None, node) == pytest.approx(parallel(120, 120 + WAY_OHM), abs=0.02)


def test_with_the_device_unplugged_the_other_terminator_alone_is_left():
    at = read()
    for node in ("ecu.16", "logger.3"):
        own = at.ohms(None, node, "bus ohms unplugged")
        assert own == pytest.approx(120 + WAY_OHM, abs=0.05)


def test_an_open_wire_leaves_each_device_its_own():
    at = read()
    broken = f"open wire:{at.wire}"
    assert at.ohms(broken, "ecu.16") == pytest.approx(120, abs=0.05)
    assert at.ohms(broken, "logger.3") == pytest.approx(120, abs=0.05)
    assert at.ohms(broken, "logger.3", "bus ohms unplugged") > 1e6


def test_a_lost_terminator_shows_at_both_ends():
    at = read()
    lost = "open load:logger"
    assert at.ohms(lost, "ecu.16") == pytest.approx(120, abs=0.05)
    assert at.ohms(lost, "logger.3") == pytest.approx(120 + WAY_OHM, abs=0.05)
    assert at.ohms(lost, "ecu.16", "bus ohms unplugged") > 1e6


def test_a_contact_that_is_open_parts_one_device_alone():
    at = read()
    assert at.ohms("open pin:ecu.16", "logger.3") == pytest.approx(120, abs=0.05)


def test_faults_that_are_none_of_the_bus_have_no_reading_of_their_own():
    at = read()
    assert all("valve" not in name and "short" not in name for name in at.found.broken)


def test_places_name_both_pins_the_wires_nodes_and_what_it_takes():
    found = read().found
    assert set(zip(found.nodes, found.others, strict=True)) == {
        ("ecu.16", "ecu.17"),
        ("logger.3", "logger.4"),
    }
    assert found.live == {"ecu.16", "ecu.17", "logger.3", "logger.4"}
    takes = {what: s for what, s in zip(found.what, found.seconds.tolist(), strict=True)}
    more = takes["bus ohms unplugged"] - takes["bus ohms"]
    assert more == pytest.approx(seconds("unplug"))
    assert all(s >= seconds("bus ohms") for s in found.seconds)


def test_a_vehicle_without_a_pair_has_none():
    at = bench()
    assert bus_readings(at.vehicle, at.harness, at.solved, []) is None


def bolted(*loads):
    """Loads between pins by (from, to, ohms, both ends on studs, electronics)."""
    made = [
        SimpleNamespace(
            from_pin=a, to_pin=b, ohms=ohms, behaviour=None, control=("x", "y") if fed else None
        )
        for a, b, ohms, _, fed in loads
    ]
    pins = {pin: SimpleNamespace(stud=stud) for a, b, _, stud, _ in loads for pin in (a, b)}
    return SimpleNamespace(devices={"d": SimpleNamespace(loads=made)}, pins=pins)


PIECES = {"a~": "A", "b~": "B", "e~": "E", "chassis": "body"}


def to_body(*loads):
    return ohms_to_body(bolted(*loads), PIECES | {"e~": "body"})


def test_windings_between_studs_lead_to_the_body():
    """3 and 6 ohm beside each other are 2; 1 ohm on in a row makes 3."""
    found = to_body(
        ("a", "e", 3.0, True, False), ("e", "a", 6.0, True, False), ("b", "a", 1.0, True, False)
    )
    assert found["A"] == pytest.approx(2.0)
    assert found["B"] == pytest.approx(3.0)


def test_what_is_plugged_or_electronic_leads_nowhere():
    endless = to_body(("a", "e", 3.0, False, False), ("b", "e", 3.0, True, True))
    assert endless["A"] > 1e5 and endless["B"] > 1e5
    assert to_body()["A"] > 1e5
