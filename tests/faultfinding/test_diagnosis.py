"""A mechanic who tells what is dead and what works, and answers each question with a meter."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from buildbook.faultfinding.answers import Answer
from buildbook.faultfinding.diagnosis import (
    DriverReport,
    FaultTable,
    diagnose,
    fault_table,
    probes,
)
from buildbook.faultfinding.effects import effects_in_state
from buildbook.faultfinding.state_to_look_in import best_state
from tests.once import swept_of

SEED, SAMPLE = 20260314, 60


@pytest.fixture(scope="module")
def clinics(motorcycle, lapwing) -> dict[str, FaultTable]:
    found = {}
    for name, result in (("motorcycle", motorcycle), ("lapwing", lapwing)):
        found[name] = fault_table(result.vehicle, result.harness, swept_of(result))
    return found


def complaint_of(table: FaultTable, row: int, state: str) -> DriverReport | None:
    """What a driver says of a fault: every device that is dead, every weak one, and two that
    work; None where nothing is dead or weak in the state."""
    swept = table.swept
    (effects,) = effects_in_state(
        state, table.seen, swept.healthy[state], swept.faulted[state][[row]], [swept.faults[row]]
    )
    of_load = {effect.load: effect.effect for effect in effects}
    dead = tuple(load for load, effect in of_load.items() if effect in ("dead", "wrong reading"))
    weak = tuple(load for load, effect in of_load.items() if effect == "weak")
    well = sorted(table.well[state] - of_load.keys())
    return DriverReport(state, dead, weak, tuple(well[:2])) if dead or weak else None


def follow(table: FaultTable, row: int, report: DriverReport):
    """Answer every question from the fault itself; the last diagnosis and how many there were."""
    found = diagnose(table, report)
    while found.next:
        step = found.next
        answer = Answer(step.what, step.node, step.state, answered(table, row, step))
        report = replace(report, answers=(*report.answers, answer))
        found = diagnose(table, report)
    return found, len(report.answers)


def answered(table: FaultTable, row: int, step) -> float:
    """What somebody finds on a car with the fault."""
    swept, fault = table.swept, table.swept.faults[row]
    if step.what == "volts":
        place = swept.nodes.index(step.node)
        return round(float(table.ends[step.state][0][row, place]), 2)
    if step.what.startswith("bus"):
        at = next(
            i
            for i, (node, what) in enumerate(zip(swept.bus.nodes, swept.bus.what, strict=True))
            if (node, what) == (step.node, step.what)
        )
        return 2.0 ** float(swept.bus.broken.get(fault.id, swept.bus.well)[at])
    if step.what == "swap":
        # What is broken inside goes with the fuse or relay; its seat and the bar below it stay.
        kind, _, ref = fault.branch.partition(":")
        return float(kind in ("fuse", "contact", "load") and ref.partition(".")[0] == step.node)
    upset = fault.id in (step.low if step.what in ("look", "click") else ())
    return 0.0 if upset else 1.0


@pytest.mark.parametrize("vehicle", ["motorcycle", "lapwing"])
def test_the_readings_lead_to_the_fault_that_is_there(clinics, vehicle):
    table = clinics[vehicle]
    swept, chance = table.swept, random.Random(SEED)
    cases = [
        (row, report)
        for row, fault in enumerate(swept.faults)
        if fault.mode == "open"
        for state in [chance.choice(table.vehicle.states)]
        if (report := complaint_of(table, row, state))
    ]
    steps = []
    for row, report in chance.sample(cases, min(SAMPLE, len(cases))):
        found, asked = follow(table, row, report)
        left = [suspect.fault for suspect in found.suspects]
        assert found.explained
        assert not found.doubted
        assert swept.faults[row] in left, (swept.faults[row].id, report)
        (low, high), places = table.ends[report.state], {*probes(table).values()}
        shown = [i for i, n in enumerate(swept.nodes) if n in places]
        for other in left:
            at = swept.faults.index(other)
            pairs = ((row, at), (at, row))
            apart = max((low[one, shown] - high[two, shown]).max() for one, two in pairs)
            assert apart < 1.0, (swept.faults[row].id, other.id, "could still be report apart")
        steps.append(asked)
    assert sorted(steps)[len(steps) // 2] <= 3
    assert max(steps) <= 8


def test_two_dead_things_point_to_what_they_share(clinics):
    report = DriverReport("indicating right", ("indicator-front-right", "indicator-rear-right"))
    found = diagnose(clinics["motorcycle"], report)
    shared = {fault.branch for fault in found.shared}
    # Both hang on the flasher, its fuse and the switch's right side, and on nothing else alone.
    assert {"fuse:F4", "contact:flasher.30-87", "pin:indicator-switch.3"} <= shared
    assert "pin:indicator-front-right.1" not in shared
    assert "fuse:F3" not in shared


def test_what_works_clears_what_it_needs(clinics):
    table = clinics["motorcycle"]
    dead = ("headlamp",)
    alone = diagnose(table, DriverReport("riding", dead))
    cleared = diagnose(table, DriverReport("riding", dead, works=("fuel-pump",)))
    before = {s.fault.branch for s in alone.suspects}
    after = {s.fault.branch for s in cleared.suspects}
    assert "contact:main-switch.1-2" in before - after
    assert "fuse:F3" in after


def test_the_likeliest_that_does_nothing_else_stands_first(clinics):
    found = diagnose(clinics["motorcycle"], DriverReport("riding", ("headlamp",)))
    first = found.suspects[0]
    assert first.also == ()
    assert first.fault.kind in ("pin", "ground")
    assert sum(s.share for s in found.suspects) == pytest.approx(1.0)


def test_what_no_single_fault_does_is_said_to_be_so(clinics):
    report = DriverReport("riding", ("headlamp",), works=("headlamp.1",))
    assert not diagnose(clinics["motorcycle"], report).explained
    two = DriverReport("riding", ("headlamp.1", "coil-1"), works=("fuel-pump", "coil-2"))
    found = diagnose(clinics["motorcycle"], two)
    assert not found.explained
    assert found.suspects
    assert all(suspect.missed for suspect in found.suspects)


def test_a_reading_that_fits_nobody_is_doubted(clinics):
    table = clinics["motorcycle"]
    report = DriverReport("riding", ("headlamp",), readings={"F3.out~": 6.5})
    assert diagnose(table, report).doubted == ("F3.out~",)
    report = DriverReport("riding", ("headlamp",), readings={"F3.out~": 0.0})
    found = diagnose(table, report)
    assert found.doubted == ()
    assert "fuse:F3" in {s.fault.branch for s in found.suspects}


def test_the_state_to_look_in_has_the_engine_still_where_it_can_be(clinics):
    table = clinics["motorcycle"]
    assert best_state(table, ["fuel-pump"]) == "ignition on"
    assert table.vehicle.description.states[best_state(table, ["headlamp"])].engine > 0
    assert best_state(table, ["starter", "horn"]) is None


def test_fuses_and_grounds_may_be_named_alone(clinics):
    places = probes(clinics["motorcycle"])
    assert places["F3"] == places["F3.out"] == "F3.out~"
    assert places["G1"] == "G1.stud"
    assert {"headlamp", "headlamp.1"} <= clinics["motorcycle"].called.keys()
