"""A mechanic with the exported data and a meter finds what was broken."""

from __future__ import annotations

import json
import statistics

import pytest

from buildbook.book.fault_wording import briefly
from buildbook.export.faults import silent_fault_rows, symptom_rows
from tests.faultfinding.broken_car import drained, follow, looked_up, seen, well
from tests.faultfinding.standing_cars import cars_of


def check(result, wanted, every=1):
    """Faults not found and the number of measurements for each, of those that show anything."""
    rows = json.loads(json.dumps(symptom_rows(result)))
    silent = {row["fault"] for row in silent_fault_rows(result)}
    faults = [f for f in result.faultfinding.faults.values() if wanted(f)]
    lost, counts, healthy = [], [], well(result)
    for car in cars_of(result, faults[::every]):
        fault = car.fault
        if fault.id in silent:
            assert not (seen(car, healthy) or car.blown or drained(car, healthy)), fault.id
            continue
        row = looked_up(rows, car, healthy)
        left, made = follow(row, car) if row else (set(), 0)
        counts.append(made)
        if fault.id not in left:
            lost.append(fault.id)
    return lost, counts


@pytest.mark.parametrize(("name", "every"), [("two_wire", 1), ("motorcycle", 2), ("lapwing", 20)])
def test_single_opens_are_found_in_few_measurements(name, every, request):
    lost, counts = check(request.getfixturevalue(name), lambda f: f.mode == "open", every)
    assert not lost
    assert statistics.median(counts) <= 3 and max(counts) <= 8


@pytest.mark.parametrize(("name", "every"), [("motorcycle", 1), ("lapwing", 5)])
def test_grounds_of_high_resistance_are_found(name, every, request):
    result = request.getfixturevalue(name)
    lost, counts = check(result, lambda f: f.mode == "resistive" and f.kind == "ground", every)
    assert counts and len(lost) <= 0.05 * len(counts)
    assert max(counts) <= 8


def test_grounds_are_tried_from_where_they_are_seen_to_ten_ohms(lapwing):
    finding = lapwing.faultfinding
    poor = [f for f in finding.faults.values() if f.mode == "resistive" and f.kind == "ground"]
    for ground in {f.branch for f in poor}:
        tried = sorted(f.ohms for f in poor if f.branch == ground)
        assert tried[-1] == 10.0
        listed = [s.suspects for s in finding.symptoms for f in s.suspects if f.endswith(ground)]
        assert listed or f"resistive {ground}" in finding.silent


@pytest.mark.parametrize("name", ["positive_earth", "two_batteries"])
def test_other_supplies_are_mended_as_well(name, request):
    """The red lead on an earthed plus, a second battery, a dynamo, a magneto between two studs."""
    result = request.getfixturevalue(name)
    told = {f for symptom in result.faultfinding.symptoms for f in symptom.suspects}
    for mode, every in (("open", 6), ("short", 6), ("stuck", 1)):
        lost, counts = check(result, lambda f, m=mode: f.mode == m and f.id in told, every)
        assert counts and not lost, mode


def test_a_cut_out_that_sticks_empties_the_battery_through_the_dynamo(positive_earth):
    """A dynamo that stands is its armature: 6.3 V on 0.12 ohm and the leads is over 20 A, and
    the fuse of 15 A opens. Ohm's law; handbooks tell to open the lead at once."""
    blown = positive_earth.faultfinding.blown["stuck contact:regulator.D-A"]
    assert ("F1", "off") in {(b.fuse, b.state) for b in blown}
    assert all(b.amps > 20 for b in blown)


def test_a_magneto_is_measured_on_alternating_current(positive_earth):
    """What a magneto gives has no sign, and a meter on direct current shows nothing of it."""
    supply = positive_earth.vehicle.supply
    (magneto,) = (s for s in supply.sources if s.kind == "magneto")
    asked = [
        step
        for symptom in positive_earth.faultfinding.symptoms
        for step in symptom.steps
        if step.node == magneto.plus_pin and step.what == "volts"
        if magneto.emf_v[step.state] > 0
    ]
    assert asked
    for step in asked:
        assert step.other == "alternating" and 0 <= step.low_v < step.high_v


def test_each_battery_of_a_string_can_fail(two_batteries, positive_earth):
    faults = two_batteries.faultfinding.faults
    assert {f.branch for f in faults.values() if f.kind == "battery"} == {"lower", "upper"}
    told = {f for symptom in two_batteries.faultfinding.symptoms for f in symptom.suspects}
    assert {"open battery:lower", "open battery:upper", "open alternator"} <= told
    assert briefly(positive_earth, ["open alternator", "open battery"]) == (
        "dynamo itself, battery itself"
    )


@pytest.mark.parametrize(("name", "every"), [("motorcycle", 2), ("lapwing", 12)])
def test_shorts_to_the_body_are_found(name, every, request):
    lost, counts = check(request.getfixturevalue(name), lambda f: f.mode == "short", every)
    assert counts and len(lost) <= 0.05 * len(counts)


def on_the_bus(result):
    """The opens of a data bus: its devices' pins, what is inside them, and all wires at them."""
    ends = {w.id: {w.a.node, w.b.node} for w in result.harness.wires.values()}
    wires = {f"wire:{wire}" for wire, at in ends.items() if at & BUS}
    parts = wires | {f"{kind}:{pin}" for pin in BUS for kind in ("pin", "load")}
    return lambda fault: fault.mode == "open" and fault.branch in parts


BUS = {"ecu.A26", "ecu.A27", "display.3", "display.4", "logger.3", "logger.4"}
"""Pins of the example's data bus."""


def test_opens_of_the_data_bus_are_found_with_an_ohmmeter_across_it(lapwing):
    lost, counts = check(lapwing, on_the_bus(lapwing))
    # Six pins, a wire from each to a splice, and the resistors at both ends of the pair.
    assert not lost and len(counts) == 14 and max(counts) <= 4


def test_silent_faults_have_a_reason_and_a_test(lapwing):
    finding = lapwing.faultfinding
    assert [s.fault for s in finding.unseen] == list(finding.silent)
    assert all(s.why and s.test for s in finding.unseen)
