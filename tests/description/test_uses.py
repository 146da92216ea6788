"""A controller in a wirer's words: what its pins do follows from what they are for."""

from __future__ import annotations

import pytest

from tests.description.short import problems_of, read

ECU = """plugs: {p: {contact: pin-1.5, rows: [["1", "2", "3", "4", "5", "6"],
  ["7", "8", "9", "10", "11", "12"]]}}
devices:
  ecu:
    kind: engine controller
    at: tail
    plug: p
    pins: {1: feed, 2: sensor ground one, 3 to 4: injector <n>, 5: 5 V, 6: coolant temperature,
      7: oil pressure, 8: crank signal, 9: power ground, 10: sensor ground two,
      11: water pump relay, 12: spare output}
    uses: {injector *: {driver: {limit: 4 A}}}
    drivers: {11: {"on": idle}, 4: {limit: 2 A}}
  coolant: {kind: thermistor, at: tail, contact: blade-6.3}
  oil: {kind: pressure sensor, at: tail, contact: blade-6.3}
circuits:
  battery: {join: [battery.+, panel.B]}
  coolant: {join: [coolant.signal, ecu.coolant temperature]}
  coolant back: {join: [coolant.return, ecu.sensor ground two]}
  oil: {join: [oil.signal, ecu.oil pressure]}
  oil feed: {join: [oil.5 V supply, ecu.5 V]}
  oil back: {join: [oil.ground, ecu.sensor ground one]}
"""


def test_outputs_inputs_sources_and_power_follow_from_the_pins(tmp_path):
    ecu = read(tmp_path, ECU).devices["ecu"]
    assert set(ecu.drivers) == {"3", "4", "11"}
    assert set(ecu.inputs) == {"6", "7", "8"} and set(ecu.sources) == {"5"}
    assert ecu.power.feeds == ["1"] and ecu.power.grounds == ["9", "2", "10"]
    assert ecu.drivers["3"].on.except_ == ["off", "ignition on"]
    assert (ecu.inputs["8"].low, ecu.inputs["8"].high) == (1.5, 3.5)
    assert ecu.draws[0].from_ == "1" and ecu.draws[0].to == "9"


def test_an_input_is_measured_against_where_its_sensor_is_returned(tmp_path):
    ecu = read(tmp_path, ECU).devices["ecu"]
    assert (ecu.inputs["6"].ground, ecu.inputs["7"].ground) == ("10", "2")
    assert ecu.sources["5"].ground == "2"
    assert ecu.inputs["8"].ground is None


def test_the_sheet_goes_before_the_kind_and_the_pin_before_both(tmp_path):
    drivers = read(tmp_path, ECU).devices["ecu"].drivers
    assert [drivers[pin].limit for pin in ("3", "4", "11")] == [4.0, 2.0, 1.0]
    assert drivers["11"].on.states == ["idle"] and drivers["11"].suppressed


def test_circuits_find_pins_by_what_they_are_for(tmp_path):
    circuits = read(tmp_path, ECU).circuits
    assert circuits["coolant back"].join == ["coolant.2", "ecu.10"]
    assert circuits["oil feed"].join == ["oil.1", "ecu.5"]


def test_a_draw_goes_to_the_first_of_several_power_grounds(tmp_path):
    numbered = ECU.replace("9: power ground", "9: power ground 1").replace(
        "12: spare output", "12: power ground 2"
    )
    ecu = read(tmp_path, numbered).devices["ecu"]
    assert ecu.power.grounds[:2] == ["9", "12"]
    assert ecu.draws[0].to == "9"
    both = ECU.replace("7: oil pressure", "7: power ground 2").replace("  oil: {", "  other: {")
    both = "\n".join(line for line in both.splitlines() if not line.startswith("  oil"))
    assert read(tmp_path, both).devices["ecu"].draws[0].to == "9"


WIRES = ECU + ("  injectors: {join: [panel.I, ecu.injector 1, ecu.injector 2], wires: {%s}}\n")


def test_single_wires_are_named_by_what_their_pins_are_for(tmp_path):
    lines = WIRES % '"ecu.3": {size: 1 mm2}, "e*.injector 2": {size: 2 mm2}'
    wires = read(tmp_path, lines).circuits["injectors"].wires
    assert {pin: lead.size.area_mm2 for pin, lead in wires.items()} == {"ecu.3": 1, "ecu.4": 2}


def test_a_wire_that_is_named_alone_goes_before_a_pattern(tmp_path):
    lines = WIRES % '"*.injector 1": {size: 1 mm2}, ecu.injector 1: {size: 2 mm2}'
    wires = read(tmp_path, lines).circuits["injectors"].wires
    assert [(pin, lead.size.area_mm2) for pin, lead in wires.items()] == [("ecu.3", 2)]


def test_one_wire_that_is_named_twice_is_told_where_the_second_stands(tmp_path):
    lines = WIRES % "ecu.3: {size: 1 mm2}, ecu.injector 1: {size: 2 mm2}"
    (told,) = problems_of(tmp_path, lines)
    assert "`ecu.injector 1` is `ecu.3`, which is written at short.yaml" in told.what


@pytest.mark.parametrize("said", ["injector 1", "5 V", "sensor ground one", "spare output"])
def test_a_pin_stays_empty_by_what_it_is_for(tmp_path, said):
    named = ECU.replace("    drivers:", f"    unused: [{said}]\n    drivers:")
    by_pin = {"injector 1": "3", "5 V": "5", "sensor ground one": "2", "spare output": "12"}
    ecu = read(tmp_path, named).devices["ecu"]
    assert ecu.unused == [by_pin[said]]
    assert not {by_pin[said]} & {*ecu.drivers, *ecu.sources, *ecu.power.grounds}


def test_all_pins_for_one_thing_stay_empty_together(tmp_path):
    twice = ECU.replace("injector <n>", "spare").replace(
        "    drivers:", "    unused: [12, spare]\n    drivers:"
    )
    assert read(tmp_path, twice).devices["ecu"].unused == ["12", "3", "4"]


def test_the_other_half_of_a_bridge_is_named_by_what_it_is_for(tmp_path):
    halves = ECU.replace("3 to 4: injector <n>", "3: motor one, 4: motor two").replace(
        '11: {"on": idle}, 4: {limit: 2 A}',
        "3: {side: push-pull, bridge: motor two, limit: 5 A}, "
        "4: {side: push-pull, bridge: motor one, limit: 5 A}",
    )
    drivers = read(tmp_path, halves).devices["ecu"].drivers
    assert (drivers["3"].bridge, drivers["4"].bridge) == ("4", "3")


def test_a_bus_bar_is_named_by_what_its_stud_is_for(tmp_path):
    fuse = "  F9: {kind: fuse, on: panel, bus: other bus}\nfeeds:\n"
    feed = "  pump: {fuse: F1, bus: other bus, to: coolant.signal}\n"
    found = read(tmp_path, ECU.replace("circuits:", f"{fuse}{feed}circuits:")).devices
    assert (found["F9"].bus, found["F1"].bus) == ("I", "I")
