"""Values, runs, settings and wiring that cannot be meant, each over a small vehicle."""

from __future__ import annotations

import pytest

from buildbook.checks.rules import (
    cut_out_crossed,
    input_misread,
    load_overvolted,
    not_as_meant,
    place_unlikely,
    run_unlikely,
    setting_unlikely,
    strap_missing,
    switch_bypassed,
    twins_swapped,
    value_unlikely,
)
from tests.checks.bench import about
from tests.checks.over_four_vehicles import CLEAN, assessed_with

RULES = (
    cut_out_crossed,
    input_misread,
    load_overvolted,
    not_as_meant,
    place_unlikely,
    run_unlikely,
    setting_unlikely,
    strap_missing,
    switch_bypassed,
    twins_swapped,
    value_unlikely,
)


@pytest.mark.parametrize("name", CLEAN)
def test_nothing_is_said_of_vehicles_that_are_as_they_should_be(name):
    assessed = assessed_with(None, name)
    assert {rule.RULE: about(rule, assessed) for rule in RULES} == {r.RULE: [] for r in RULES}


@pytest.mark.parametrize(
    ("mistake", "thing"),
    [
        ("M14", "starter"),
        ("M20", "fuel-pump"),
        ("P21", "magneto"),
        ("D20", "d19"),
        ("T28", "lower"),
    ],
)
def test_value_that_such_things_never_have(mistake, thing):
    assert about(value_unlikely, assessed_with(mistake)) == [thing]


@pytest.mark.parametrize(
    ("mistake", "run"),
    [
        ("M15", "main:headstock-bars-left"),
        ("D16", "h1:p1-p2"),
        ("D18", "p7"),
        ("T24", "main:box-bend"),
    ],
)
def test_run_or_place_that_cannot_be(mistake, run):
    assert about(run_unlikely, assessed_with(mistake)) == [run]


@pytest.mark.parametrize(
    ("mistake", "setting"),
    [("M17", "drop"), ("M16", "engine"), ("P26", "date of vehicle"), ("P17", "battery")],
)
def test_setting_that_hardly_any_vehicle_has(mistake, setting):
    assert about(setting_unlikely, assessed_with(mistake)) == [setting]


@pytest.mark.parametrize(
    ("mistake", "pin", "mend"),
    [
        ("M05", "headlamp.3", "Join headlamp.3 to a ground stud"),
        ("M11", "F2", "Put fuse F2 on bus I"),
        ("M23", "start-button.1-2", "Let start-button.1-2 be closed in 'cranking'"),
        ("P16", "headlamp.1", "Exchange headlamp.1 and headlamp.2"),
        ("D07", "d12.85", "Join d12.85 to a ground stud"),
        ("D13", "g3.stud", "Take g3 out of 'c48'"),
        ("T01", "upper.+", "Exchange plus and minus of upper"),
        ("T15", "start-relay.30", "Exchange 'starter feed' and 'isolator to starter relay'"),
    ],
)
def test_the_one_thing_that_explains_what_does_otherwise(mistake, pin, mend):
    (found,) = not_as_meant.check(assessed_with(mistake))
    assert found.about == pin and found.remedy.startswith(mend)


def test_two_things_are_told_one_after_the_other():
    assert about(not_as_meant, assessed_with("D10")) == ["d26.3", "d27.3"]


def test_what_the_first_mend_leaves_is_told_too():
    """One circuit wants two changes: the switch out of it, and the lamp to ground."""
    assert about(not_as_meant, assessed_with("P08")) == ["light-switch.1", "headlamp.3"]


def test_lamp_on_the_wire_that_stops_a_magneto():
    """It lights from the magneto, and no magneto is there for that."""
    (found,) = not_as_meant.check(assessed_with("P05"))
    assert found.about == "brake-switch.1" and "into 'key output'" in found.remedy


@pytest.mark.parametrize(
    ("mistake", "remedy", "value"),
    [
        ("T03", "Join the batteries in series: upper.- to lower.+", ["lower.+", "upper.-"]),
        ("T29", "Correct `volts` of upper: perhaps 12.6 V", 12.6),
        ("P17", "Correct `nominal`, which these batteries make 6 V", 6.0),
    ],
)
def test_nominal_volts_that_the_batteries_do_not_make(mistake, remedy, value):
    (found,) = setting_unlikely.check(assessed_with(mistake))
    assert found.remedy.startswith(remedy)
    assert value in [edit[1] for edit in found.edits]


def test_slip_in_a_current_and_its_inrush_is_mended_in_both():
    (found,) = value_unlikely.check(assessed_with("D21"))
    assert [path[-1] for path, _ in found.edits] == ["amps", "inrush"]


def test_switch_with_both_ends_in_one():
    assert about(switch_bypassed, assessed_with("M03")) == ["horn-button.1-2"]


def test_input_of_two_levels_on_a_sensor_of_many():
    assert about(input_misread, assessed_with("D03")) == ["d21.2", "d22.2"]


def test_radio_of_12_volts_on_24():
    assert about(load_overvolted, assessed_with("T04")) == ["radio", "cabin-lamp"]


def test_engine_without_a_strap():
    assert about(strap_missing, assessed_with("T09")) == ["engine-ground"]


def test_cut_out_the_wrong_way_round():
    assert about(cut_out_crossed, assessed_with("P03")) == ["dynamo"]


def test_starter_in_the_dash():
    assert about(place_unlikely, assessed_with("T25")) == ["starter"]


def test_lamps_alike_with_two_wires_crossed_on_one_of_them():
    assert about(twins_swapped, assessed_with("D12")) == ["d27"]
