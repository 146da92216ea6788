"""Symptoms in words, and why a fault shows nothing: told of a few loads and of the bench."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from buildbook.faultfinding.faults import joint_faults, open_faults
from buildbook.faultfinding.model import Charging, Effect, Fault
from buildbook.faultfinding.silent import unseen
from buildbook.faultfinding.symptom_titles import (
    blows_words,
    charging_title,
    load_names,
    made_different,
    slugs,
    symptom_title,
    trips_words,
)
from buildbook.words.say import in_language, unknown_words
from tests.electrical.sensor_bench import bench
from tests.faultfinding.test_sensor_ends import swap


def device(name, *loads):
    made = tuple(SimpleNamespace(id=load, what=what) for load, what in loads)
    return SimpleNamespace(title=name, loads=made)


NAMES = load_names(
    SimpleNamespace(
        devices={
            "pump": device("fuel pump", ("pump", "the pump hums")),
            "lamp": device("lamp", ("lamp.dip", "dipped beam"), ("lamp.main", "")),
            "horn": device("horn", ("horn", "")),
            "fan": device("fan", ("fan", "")),
            "probe": device("probe", ("probe", "")),
        }
    )
)
ON, OFF = frozenset({"on"}), frozenset()
WORKS = {load: ON for load in ("pump", "lamp.dip", "lamp.main", "horn", "fan", "probe")}


def title(*told, works=WORKS):
    effects = [Effect(load, state, effect, 0.0, 12.0) for load, state, effect in told]
    return symptom_title(effects, NAMES, works)


def on(effect, *loads):
    return [(load, "on", effect) for load in loads]


def test_a_load_is_called_by_what_is_seen_of_it_where_its_device_has_more():
    assert NAMES.seen == {
        "pump": "",
        "lamp.dip": "dipped beam",
        "lamp.main": "main",
        "horn": "",
        "fan": "",
        "probe": "",
    }
    assert NAMES.device["lamp.main"] == "lamp"


def test_a_device_is_named_whole_once_all_that_works_of_it_is_told():
    assert title(*on("dead", "pump")) == "Fuel pump dead"
    assert title(*on("dead", "lamp.dip")) == "Lamp (dipped beam) dead"
    assert title(*on("dead", "lamp.dip", "lamp.main")) == "Lamp dead"
    never = WORKS | {"lamp.main": OFF}
    assert title(*on("dead", "lamp.dip"), works=never) == "Lamp dead"


def test_the_worst_is_told_first_and_of_each_load_the_worst():
    told = [*on("wrong reading", "probe"), *on("weak", "fan"), *on("dead", "pump")]
    assert title(*told) == "Fuel pump dead; fan weak; probe wrong reading"
    both = [("fan", "on", "weak"), ("fan", "on", "dead")]
    assert title(*both) == "Fan dead"
    rest = [*on("crossed", "pump"), *on("stuck on", "horn"), *on("runs backwards", "fan")]
    assert title(*rest) == "Fan runs backwards; horn stuck on; fuel pump crossed"


def test_several_are_listed_and_more_than_three_counted():
    assert title(*on("weak", "pump", "horn")) == "Fuel pump and horn weak"
    four = title(*on("weak", "pump", "horn", "fan", "probe"))
    assert four.startswith("Fuel pump, horn, fan")
    assert "1 more" in four and "probe" not in four


def test_where_all_that_works_is_dead_nothing_works():
    assert title(*on("dead", *WORKS)) == "Nothing works"
    assert title(*on("dead", *[x for x in WORKS if x != "horn"])) != "Nothing works"
    idle = dict.fromkeys(WORKS, OFF)
    assert title(*on("stuck on", "horn"), works=idle) == "Horn stuck on"


def test_the_states_are_named_where_it_works_in_others():
    twice = WORKS | {"pump": frozenset({"on", "night"})}
    assert title(*on("dead", "pump"), works=twice) == "Fuel pump dead (on)"
    both = [("pump", "on", "dead"), ("pump", "night", "dead")]
    assert title(*both, works=twice) == "Fuel pump dead"


def charged(*volts):
    return [Charging("idle", v, 14.0, 10.0, 2.0, 4.0) for v in volts]


def test_a_battery_that_is_not_charged_is_told_by_its_volts():
    words = "battery not charged: 12.3 V with the engine running"
    assert charging_title("", charged(12.3)) == words[:1].upper() + words[1:]
    assert charging_title("Fan dead", charged(12.3, 12.34)) == f"Fan dead; {words}"
    assert charging_title("", charged(12.4, 12.1)) == (
        "Battery not charged: 12.1 to 12.4 V with the engine running"
    )
    assert charging_title("Fan dead", ()) == "Fan dead"


def test_fuses_and_outputs_are_named_or_as_listed():
    assert blows_words(["F1", "F2"]) == "blows F1, F2"
    assert blows_words(["F1"], "F1 and more") == "blows F1 and more"
    assert trips_words(["ecu.1", "ecu.2"]) == "trips ecu.1, ecu.2"
    assert trips_words(["ecu.1"], "some") == "trips some"


def test_ids_of_titles_are_short_and_each_given_once():
    assert slugs(["Fuel pump dead", "Fuel  pump: dead!", "Ümlaut"]) == [
        "fuel-pump-dead-1",
        "fuel-pump-dead-2",
        "mlaut",
    ]
    assert slugs(["x" * 60]) == ["x" * 48]
    assert made_different(["a", "b", "a"]) == ["a, case 1", "b", "a, case 2"]


def faults():
    at = bench()
    from buildbook.electrical.solve import settler_of

    settler = settler_of(at.vehicle, at.harness, at.solved)
    branches = [e.branch for e in settler.prepared.network.elements]
    return at, branches, open_faults(at.vehicle, at.harness, branches)


def told(fault):
    at = bench()
    found = unseen(at.vehicle, at.harness, at.solved, fault)
    assert found.fault == fault.id
    return found.why, found.test, found.alike


def wire_of(circuit):
    return next(w for w in bench().harness.wires.values() if w.circuit == circuit)


def test_a_wire_that_carries_nothing_and_one_that_does():
    at, _, known = faults()
    carries = wire_of("sender ground")
    why, test, alike = told(known[f"open wire:{carries.id}"])
    assert why.startswith("another path carries on")
    ends = carries.a.node, carries.b.node
    assert test == f"both ends undone: under 1 ohm from {ends[0]} to {ends[1]}"
    assert alike == "both ends undone: under 1 ohm from end to end"
    still = Fault("open wire:none", "wire", "wire:none", "")
    assert told(still)[0] == "nothing flows through it in any state described"


def test_a_state_in_which_a_contact_buzzes_is_named_beside_the_reason():
    at = bench()
    buzzing = replace(at.solved.meter["braking"], unsettled=frozenset({"button.1-2"}))
    solved = replace(at.solved, meter={**at.solved.meter, "braking": buzzing})
    still = Fault("open wire:none", "wire", "wire:none", "")
    assert unseen(at.vehicle, at.harness, solved, still).why == (
        "nothing flows through it in any state described; "
        "what it does in braking is not to be predicted: a contact buzzes"
    )


def test_a_poor_joint_takes_too_little():
    at, branches, _ = faults()
    poor = next(
        f for f in joint_faults(at.vehicle, at.harness, branches) if f.branch == "pin:ecu.2"
    )
    why, test, alike = told(Fault(poor.id, poor.kind, poor.branch, "", "resistive", 2.5))
    assert why == "even 2.5 ohm takes too little from what it carries"
    assert test == "battery off: under 0.5 ohm across ecu.2; pull each wire at it"
    assert alike == "battery off: under 0.5 ohm across it; pull each wire at it"


def test_a_wire_on_the_body_that_stands_at_its_volts_and_one_that_does_not():
    """62 mA through 0.1 ohm lift the sender's ground by 6 mV; the feed stands at twelve volts."""
    ground, feed = wire_of("sender ground"), wire_of("battery to switch")
    why, test, alike = told(Fault("s", "wire", f"wire:{ground.id}", "", "short"))
    assert why == "the wire is at the body's voltage in every state described"
    assert test == (
        f"both ends of {ground.id} undone: ohms from {ground.a.node} to the body must be endless"
    )
    assert alike.startswith("both ends of it undone")
    assert told(Fault("s", "wire", f"wire:{feed.id}", "", "short"))[0].startswith("what then flows")


EVERY = '["off", standing, braking, turning]'


def test_a_contact_that_sticks_where_it_is_closed_in_every_state_or_not():
    always = bench(("closed: [braking], limit: 1 A", f"closed: {EVERY}, limit: 1 A"))
    fault = Fault("stuck", "contact", "contact:button.1-2", "", "stuck")
    found = unseen(always.vehicle, always.harness, always.solved, fault)
    assert found.why == "it is closed in every state described"
    why, test, alike = told(fault)
    assert why.startswith("where it should be open")
    assert test == "battery off: endless ohms across button.1-2"
    assert alike == "battery off: endless ohms across it"


@pytest.mark.parametrize(
    ("pairs", "why"),
    [
        ([("pressure.3", "pickup.3")], "both are on one circuit"),
        ([("brake-switch.1", "brake-switch.2")], "a switch leads either way round"),
        ([("gauge.1", "gauge.2")], "it works either way round"),
        ([("speed.1", "speed.2")], "its volts change their sign"),
        ([("ecu.5", "ecu.6")], "both places do the same in every state described"),
        ([("ecu.5", "ecu.6"), ("ecu.7", "ecu.8")], "both places do the same"),
        ([("pressure.3", "pickup.3"), ("ecu.5", "ecu.6")], "both places do the same"),
    ],
)
def test_why_a_swap_shows_nothing(pairs, why):
    found, test, alike = told(swap(*pairs))
    assert found.startswith(why)
    assert test.startswith("battery off: continuity of each of ")
    assert all(" ".join(pair) in test for pair in pairs)
    assert alike == "battery off: continuity of each to its far end"


@pytest.mark.parametrize(
    ("kind", "branch", "test"),
    [
        ("load", "load:gauge", "unplugged: ohms across gauge as in its data"),
        ("source", "source:ecu.4", "plugged in, ignition on: volts at ecu.4"),
        (
            "contact",
            "contact:button.1-2",
            "worked by hand, battery off: under 0.5 ohm across button.1-2",
        ),
        (
            "alternator",
            "alternator",
            "volts across the battery, engine running: they must rise above those at rest",
        ),
        ("battery", "battery", "volts across the posts while the engine is cranked"),
    ],
)
def test_how_a_part_that_nobody_sees_fail_is_tested(kind, branch, test):
    why, found, alike = told(Fault("f", kind, branch, ""))
    assert found == test
    part = branch.partition(":")[2]
    assert alike == (test.replace(part, "it") if part else test)
    assert (why == "it charges in no state described") == (kind == "alternator")


def test_all_of_these_words_have_their_german():
    with in_language("de"), unknown_words() as unknown:
        for effect in ("dead", "weak", "stuck on", "runs backwards", "crossed", "wrong reading"):
            title(*on(effect, "pump"))
        charging_title("", charged(12.0, 13.0))
        charging_title("", charged(12.0))
        blows_words(["F1"]), trips_words(["ecu.1"]), made_different(["a", "a"])
        for kind in ("load", "source", "contact", "alternator", "battery", "pin"):
            told(Fault("f", kind, f"{kind}:x", ""))
        told(swap(("ecu.5", "ecu.6")))
    assert not unknown
