"""What a driver tells of the hauler with two batteries, against its circuits as written."""

from __future__ import annotations

import pytest

from buildbook.faultfinding.answers import Answer
from buildbook.faultfinding.diagnosis import DriverReport, diagnose, fault_table
from buildbook.faultfinding.state_to_look_in import best_state, state_that_shows
from tests.faultfinding.test_diagnosis import complaint_of, follow
from tests.once import swept_of

NIGHT = "running at night"


@pytest.fixture(scope="module")
def table(two_batteries):
    return fault_table(two_batteries.vehicle, two_batteries.harness, swept_of(two_batteries))


def suspects(table, *told, **more):
    return {s.fault.branch for s in diagnose(table, DriverReport(*told, **more)).suspects}


def test_both_work_lamps_hang_on_their_fuse_and_switch_and_on_no_ground(table):
    found = diagnose(table, DriverReport(NIGHT, ("front-lamp", "rear-lamp")))
    shared = {fault.branch for fault in found.shared}
    assert {"fuse:F2", "contact:lamp-switch.1-2", "pin:lamp-switch.2"} <= shared
    assert not {"pin:front-lamp.1", "pin:rear-lamp.2", "ground:cab-ground", "fuse:F1"} & shared


def test_a_lamp_whose_twin_burns_is_broken_after_they_part(table):
    found = suspects(table, NIGHT, ("front-lamp",), works=("rear-lamp",))
    assert {"pin:front-lamp.1", "pin:front-lamp.2", "load:front-lamp"} <= found
    assert not {"fuse:F2", "contact:lamp-switch.1-2", "pin:rear-lamp.1"} & found


def test_of_two_on_a_tap_one_that_works_clears_the_fuse(table):
    both = suspects(table, NIGHT, ("radio", "cabin-lamp"))
    radio = suspects(table, NIGHT, ("radio",), works=("cabin-lamp",))
    assert "fuse:FT" in both
    assert "contact:tap-switch.1-3" not in both
    assert "fuse:FT" not in radio
    assert "contact:tap-switch.1-2" in radio


def test_a_lamp_left_on_is_a_switch_that_sticks(table):
    found = suspects(table, "running", stuck_on=("front-lamp", "rear-lamp"))
    assert "contact:lamp-switch.1-2" in found
    assert "contact:tap-switch.1-2" not in found


def test_a_fuse_that_blows_again_has_a_wire_on_the_body_behind_it(table):
    found = diagnose(table, DriverReport(NIGHT, blows=("F2",)))
    assert found.suspects
    wires = table.harness.wires
    circuits = {wires[s.fault.branch.partition(":")[2]].circuit for s in found.suspects}
    assert {"lamp switch feed", "work lamps"} <= circuits
    assert not {"tap", "cab feed", "start signal"} & circuits
    assert all(s.fault.mode == "short" for s in found.suspects)


def test_volts_before_the_switch_clear_all_that_is_before_it(table):
    """24 V at the switch's feed: nothing between the batteries and there is open."""
    fed = Answer("volts", "lamp-switch.1", NIGHT, 27.5)
    found = suspects(table, NIGHT, ("front-lamp", "rear-lamp"), answers=(fed,))
    assert "contact:lamp-switch.1-2" in found
    assert "fuse:F2" not in found
    dead = Answer("volts", "lamp-switch.1", NIGHT, 0.0)
    found = suspects(table, NIGHT, ("front-lamp", "rear-lamp"), answers=(dead,))
    assert "fuse:F2" in found
    assert "contact:lamp-switch.1-2" not in found


def test_a_like_fuse_in_its_place_that_cures_says_it_was_that(table):
    cured = Answer("swap", "F2", NIGHT, 1.0)
    found = suspects(table, NIGHT, ("front-lamp", "rear-lamp"), answers=(cured,))
    assert found == {"fuse:F2"}


def test_what_cannot_be_together_is_said_to_be_so(table):
    report = DriverReport(NIGHT, ("front-lamp", "radio"), works=("rear-lamp", "cabin-lamp"))
    assert not diagnose(table, report).explained
    assert diagnose(table, DriverReport(NIGHT, ("front-lamp",))).explained


def test_one_looks_where_the_engine_stands_if_that_shows_it(table):
    assert best_state(table, ["radio"]) == "ready"
    assert best_state(table, ["front-lamp"]) == NIGHT
    assert best_state(table, ["radio", "front-lamp"]) == NIGHT
    assert best_state(table, ["starter", "front-lamp"]) is None
    assert best_state(table, []) is None


def test_a_lamp_that_stays_on_is_seen_where_it_should_be_off(table):
    assert state_that_shows(table, ["front-lamp"], []) != NIGHT
    engine = table.vehicle.description.states
    assert state_that_shows(table, [], ["F2"]) == NIGHT
    assert engine[NIGHT].engine > 0


def test_questions_lead_to_what_is_broken(table):
    """Every fifth open or short that a driver notices at night."""
    rows = [r for r, f in enumerate(table.swept.faults) if f.mode in ("open", "short")][::5]
    told = [(row, report) for row in rows if (report := complaint_of(table, row, NIGHT))]
    assert len(told) > 8
    for row, report in told:
        found, steps = follow(table, row, report)
        assert table.swept.faults[row].id in {s.fault.id for s in found.suspects}
        assert steps <= 9
