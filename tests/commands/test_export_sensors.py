"""Sensors and supply as data: each reading once, with the pins that the meter goes on."""

import csv
import io
import json

from buildbook.export.files import export_files
from buildbook.export.readings import pair_rows
from buildbook.export.results import results


def test_json_holds_every_reading_in_order(lapwing):
    rows = json.loads(json.dumps(results(lapwing)))["sensors"]
    expected = [(t.pin, r.when) for t in lapwing.sensors.tables for r in t.rows]
    assert [(row["pin"], row["when"]) for row in rows] == expected
    cold = next(r for r in rows if r["pin"] == "coolant-temperature.1" and r["when"] == "20 degC")
    assert (cold["meter_plus"], cold["meter_minus"]) == ("ecu.B11", "ecu.B3")
    assert (cold["unplugged_ohm_low"], cold["unplugged_ohm_high"]) == (2375, 2625)
    assert cold["volts_low"] < cold["volts_nominal"] < cold["volts_high"]


def test_json_holds_hours_of_stopped_states_and_volts_while_cranking(lapwing):
    found = results(lapwing)
    supply = {row["state"]: row for row in found["supply"]}
    assert supply.keys() == set(lapwing.vehicle.states)
    assert supply["ignition on"]["hours_to_flat"] > supply["ignition on"]["hours_to_last_start"] > 0
    assert supply["idle"]["hours_to_flat"] == ""
    assert {row["device"] for row in found["cranking"]} >= {"starter", "ecu"}
    assert found["day_a"] > 0


def test_pairs_say_whether_they_agree(lapwing):
    rows = pair_rows(lapwing)
    assert {row["device"] for row in rows} == {"throttle", "pedal"}
    assert all(row["agrees"] for row in rows)


def test_tables_are_written_beside_the_others(lapwing, two_wire):
    files = export_files(lapwing, ())
    rows = list(csv.DictReader(io.StringIO(files["sensors.csv"])))
    assert len(rows) == sum(len(table.rows) for table in lapwing.sensors.tables)
    states = list(csv.DictReader(io.StringIO(files["supply.csv"])))
    assert [row["state"] for row in states] == list(lapwing.vehicle.states)
    assert export_files(two_wire, ())["sensors.csv"].strip() == ""
