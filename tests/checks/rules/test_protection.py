"""Fuses, isolator, relays and coils."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    coil_reversed,
    engine_survives_isolator,
    fed_twice,
    feed_shorted,
    fuse_above_wire,
    fuse_below_load,
    fuse_shared,
    fuse_small,
    isolator_bypassed,
    not_selective,
    output_above_wire,
    output_trips_at_work,
    part_missing,
    pinned_too_small,
    relay_coil_weak,
    relay_idle,
)
from buildbook.electrical.model import Branch
from buildbook.pipeline import look_over
from buildbook.sizing.model import Limit, Selectivity
from tests.checks import minimal as m
from tests.checks.bench import about
from tests.checks.over_four_vehicles import assessed_with
from tests.checks.rules.test_completeness import BATTERY, LAMP, wired
from tests.conftest import TESTS


@pytest.mark.parametrize(
    ("joined", "fires"),
    [(("F1.out", "F2.out", "lamp.1"), ["F1"]), (("F1.out", "lamp.1"), [])],
)
def test_wire_fed_by_two_fuses(joined, fires):
    assessed = wired((m.fuse("F1"), m.fuse("F2"), LAMP), {"feed": joined})
    assert about(fed_twice, assessed) == fires


def test_fuse_that_follows_another_feeds_nothing_twice():
    circuits = {"feed": ("F1.out", "F2.in"), "lamp": ("F2.out", "lamp.1")}
    assert about(fed_twice, wired((m.fuse("F1"), m.fuse("F2"), LAMP), circuits)) == []


@pytest.mark.parametrize(("load", "fires"), [(31.0, ["F1"]), (29.0, [])])
def test_fuse_with_three_times_its_current_has_a_feed_on_a_ground(load, fires):
    assessed = m.assessed(m.vehicle((m.fuse("F1"),)), sizing_=m.sizing(m.rated("F1", 10, load)))
    assert about(feed_shorted, assessed) == fires


def behind_a_fuse(kind, fuse_sizing, rest=(), unserved=()):
    """A fuse between the battery's posts, and a branch of a kind between its output and minus."""
    ends = (
        ("battery.+~", "F1.in~", "wire"),
        ("F1.in~", "F1.out~", "fuse"),
        ("F1.out~", "battery.-~", kind),
        ("F1.out~", "F2.in~", "wire"),
        ("F2.in~", "F2.out~", "fuse"),
    )
    branches = tuple(Branch(f"{k}:{a}-{b}", k, a.partition(".")[0], a, b, 0.01) for a, b, k in ends)
    parts = {"lamp": {"what": "Lamp", "serves": ["lamp"]}}
    vehicle = m.vehicle((BATTERY, m.fuse("F1"), m.fuse("F2")), parts=parts)
    solved = m.solved(m.solution("on", branches=branches))
    assessed = m.assessed(vehicle, solved_=solved, sizing_=m.sizing(fuse_sizing, *rest))
    return replace(assessed, unserved=unserved)


@pytest.mark.parametrize(("kind", "fires"), [("wire", ["F1"]), ("load", []), ("source", [])])
def test_fuse_on_a_way_past_all_loads_has_a_feed_on_a_ground_however_large_it_is(kind, fires):
    assessed = behind_a_fuse(kind, m.rated("F1", 40, 35.0), (m.rated("F2", 40, 35.0),))
    assert about(feed_shorted, assessed) == fires


@pytest.mark.parametrize(("kind", "fires"), [("wire", []), ("load", ["F1"])])
def test_what_a_short_chose_is_not_judged_as_if_it_were_a_load(kind, fires):
    pair = Selectivity("F1", "F2", False, 60.0, 0.5, 0.2)
    sized = m.rated("F1", 40, 120.0, weakest_a=30.0, selective=(pair,))
    unserved = (("fuse blade 40 A", "no part serves it"),)
    assessed = behind_a_fuse(kind, sized, (m.rated("F2", 15, 5),), unserved)
    assert about(fuse_below_load, assessed) == fires
    assert about(fuse_above_wire, assessed) == fires
    assert about(not_selective, assessed) == (["F2"] if fires else [])
    assert about(part_missing, assessed) == (["fuse blade 40 A"] if fires else [])


def test_rating_that_the_author_wrote_is_held_against_its_wires_in_spite_of_a_short():
    assessed = behind_a_fuse("wire", m.rated("F1", 40, 120.0, weakest_a=30.0, pinned=True))
    assert about(fuse_above_wire, assessed) == ["F1"]


def test_fuse_that_is_for_others_too_is_to_be_bought_in_spite_of_a_short():
    rest = (m.rated("F2", 40, 5),)
    unserved = (("fuse blade 40 A", "no part serves it"),)
    assessed = behind_a_fuse("wire", m.rated("F1", 40, 120.0), rest, unserved)
    assert about(part_missing, assessed) == ["fuse blade 40 A"]


@pytest.mark.parametrize(
    ("load", "stands", "advice"),
    [
        (12.0, 22.0, "Fit a fuse of 20 A (`rating`), which its wires stand"),
        (12.0, 18.0, "Split the load, or leave `rating` out"),
        (31.0, 500.0, "Split the load: 40 A is the largest"),
    ],
)
def test_no_larger_fuse_is_advised_than_there_is_or_than_the_wires_stand(load, stands, advice):
    # Three quarters of 15 A are 11.25 A, of 20 A 15 A, of 40 A, the largest, 30 A.
    sizing = m.sizing(m.rated("F1", 15, load, weakest_a=stands, pinned=True))
    (found,) = fuse_below_load.check(m.assessed(m.vehicle((m.fuse("F1"),)), sizing_=sizing))
    assert found.remedy.startswith(advice)


@pytest.mark.parametrize("family", ["blade", "bolted"])
def test_no_fuse_is_advised_for_a_feed_that_is_joined_to_a_ground(tmp_path, family):
    """The short of the smallest vehicle is told before any fuse is chosen, with what mends it."""
    text = (TESTS / "vehicles" / "two-wire" / "vehicle.yaml").read_text(encoding="utf-8")
    text = text.replace("join: [F1.out, lamp.1]", "join: [F1.out, lamp.1, G1]")
    text = text.replace("F1: {kind: fuse,", f"F1: {{kind: fuse, fuse: {family},")
    (tmp_path / "vehicle.yaml").write_text(text, encoding="utf-8")
    checked, (problem,) = look_over(tmp_path)
    assert checked is None and problem.what.startswith("a short: ")
    assert "F1.out" in problem.what and "take G1 out of" in problem.hint
    said = f"{problem.what} {problem.why} {problem.hint}"
    assert not re.search(r"[Ff]it a (larger |slower )?fuse|arger or slower fuse", said)


def test_short_across_two_batteries_in_series_is_called_that(tmp_path):
    """Neither stands the wrong way round: the strap and the starter's cable are exchanged."""
    text = (TESTS / "vehicles" / "two-batteries" / "vehicle.yaml").read_text(encoding="utf-8")
    for old, new in (
        ("starter ground: {join: [starter.E, engine-ground]", "[starter.E, starter.M]"),
        ("starter feed: {join: [start-relay.87, starter.M]", "[start-relay.87, engine-ground]"),
    ):
        assert text.count(old) == 1
        text = text.replace(old, f"{old.partition('[')[0]}{new}")
    (tmp_path / "vehicle.yaml").write_text(text, encoding="utf-8")
    checked, (problem,) = look_over(tmp_path)
    assert checked is None
    assert problem.what.startswith("a short: upper.+ and lower.- of `lower` and `upper` are one")
    assert "'cranking'" in problem.what and "engine-ground" in problem.what


@pytest.mark.parametrize(("other", "fires"), [("fuel", ["F1"]), ("main", [])])
def test_fuse_shared_by_two_critical_systems(other, fires):
    pump = m.device(
        "pump",
        "motor",
        "1 2",
        written={"critical": "yes"},
        loads=(m.load("pump", "pump.1", "pump.2", 2),),
    )
    lamp = replace(LAMP, written=pump.written)
    vehicle = m.vehicle((m.fuse("F1"), replace(pump, system=other), lamp))
    sizing = m.sizing(m.rated("F1", 10, 1, feeds=("pump", "lamp")))
    assert about(fuse_shared, m.assessed(vehicle, sizing_=sizing)) == fires


def with_small_fuses(parts=(), weakest_a=11.0):
    """Of 1 A and 3 A as chosen, and of 1 A as the author says."""
    fuses = (m.fuse("F1"), m.fuse("F2"), m.fuse("F3", rating="1 A"))
    sized = (
        m.rated("F1", 1, 0.1, feeds=("x",), weakest_a=weakest_a),
        m.rated("F2", 3, 1.2, feeds=("y",)),
        m.rated("F3", 1, 0.2, feeds=("z",)),
    )
    sections = {"parts": {n: {"what": n, "serves": [n]} for n in parts}} if parts else {}
    return m.assessed(m.vehicle(fuses, **sections), sizing_=m.sizing(*sized))


@pytest.mark.parametrize(
    ("parts", "fires"), [((), ["F1"]), (("fuse blade 1 A",), []), (("fuse blade 2 A",), ["F1"])]
)
def test_a_fuse_that_nobody_stocks_is_told_but_for_those_that_are_bought(parts, fires):
    assert about(fuse_small, with_small_fuses(parts)) == fires


def test_small_fuses_whose_wires_stand_no_larger_one_are_named():
    (stands,) = fuse_small.check(with_small_fuses())
    (thin,) = fuse_small.check(with_small_fuses(weakest_a=2.0))
    assert "which their wires stand" in stands.remedy and "(not F1)" in thin.remedy


def test_small_fuses_of_one_panel_are_told_at_once():
    panel = m.device("panel", "panel", "B")
    fuses = tuple(m.fuse(f"F{n}", on="panel") for n in (1, 2))
    sized = [m.rated(f"F{n}", n, 0.1, feeds=("x",)) for n in (1, 2)]
    (found,) = fuse_small.check(m.assessed(m.vehicle((panel, *fuses)), sizing_=m.sizing(*sized)))
    assert found.about == "panel"
    assert "1 A and 2 A" in found.text and "(F1, F2)" in found.text


def isolated(lamp_feed, alternator="isolator.2", feed="isolator.2"):
    """A battery and a controller with an injector on either side of an isolator."""
    contact = m.switch("isolator.1-2", "isolator.1", "isolator.2")
    isolator = m.device("isolator", "isolator", "1 2", contacts=(contact,))
    machine = m.device("alternator", "alternator", "B+ E")
    power = {"feeds": ["A1"], "grounds": ["A2"]}
    ecu = m.device("ecu", "controller", "A1 A2 A3", written={"power": power})
    injector = m.device("injector", "injector", "1 2")
    circuits = {
        "main": ("battery.+", "isolator.1"),
        "lamp": (lamp_feed, "lamp.1"),
        "charge": ("alternator.B+", alternator),
        "ecu feed": (feed, "ecu.A1"),
        "injector": ("injector.2", "ecu.A3"),
        "returns": ("battery.-", "ecu.A2", "alternator.E"),
    }
    states = {"off": {}, "on": {"engine": "2000 rpm"}, "cranking": {}}
    supply = {
        "battery": {"between": ["battery.+", "battery.-"]},
        "alternator": {
            "between": ["alternator.B+", "alternator.E"],
            "curve": [["900 rpm", "20 A"]],
        },
    }
    fuse = m.fuse("F1")
    devices = (BATTERY, isolator, machine, ecu, injector, LAMP, fuse)
    return wired(devices, circuits, supply=supply, states=states)


def test_circuit_ahead_of_the_isolator_stays_live():
    assert about(isolator_bypassed, isolated("battery.+")) == ["lamp"]


def test_circuit_behind_the_isolator_does_not():
    assert about(isolator_bypassed, isolated("isolator.2")) == []


def test_engine_runs_on_where_the_alternator_feeds_the_controller():
    assert about(engine_survives_isolator, isolated("isolator.2")) == ["ecu"]
    assert about(engine_survives_isolator, isolated("isolator.2", alternator="isolator.1")) == []


def test_engine_dies_where_a_second_pole_cuts_the_coil_of_the_relay_that_feeds_it():
    """The buggy's d12 feeds its controller, and the isolator's second pole cuts its coil."""
    assert about(engine_survives_isolator, assessed_with(None, "dune-buggy")) == []
    assert about(engine_survives_isolator, assessed_with("D27")) == ["d11"]


@pytest.mark.parametrize(
    ("closed", "fires"), [((), ["K1.30-87"]), (("on",), []), (m.STATES, ["K1.30-87"])]
)
def test_relay_that_closes_in_no_state_or_in_all(closed, fires):
    contact = m.switch("K1.30-87", "K1.30", "K1.87", kind="relay")
    vehicle = m.vehicle((m.device("K1", "relay", "30 87 85 86", contacts=(contact,)),))
    states = [
        replace(m.solution(s), closed=frozenset(["K1.30-87"] if s in closed else ()))
        for s in m.STATES
    ]
    assert about(relay_idle, m.assessed(vehicle, solved_=m.solved(*states))) == fires


@pytest.mark.parametrize(
    ("volts", "kind", "fires"),
    [(12.0, "diode", ["K1"]), (-12.0, "diode", []), (12.0, "resistor", [])],
)
def test_coil_with_a_diode_fed_the_wrong_way_round(volts, kind, fires):
    relay = m.device("K1", "relay", "30 87 85 86", written={"coil": {"suppressed": kind}})
    solved = m.solved(m.solution("on", {"K1.85~": volts, "K1.86~": 0.0}))
    assert about(coil_reversed, m.assessed(m.vehicle((relay,)), solved_=solved)) == fires


@pytest.mark.parametrize(("pinned", "fires"), [(True, ["101"]), (False, [])])
def test_size_of_the_author_that_gets_too_hot(pinned, fires):
    vehicle = m.vehicle((BATTERY, LAMP), {"feed": ("battery.+", "lamp.1")})
    heat = Limit("heat", 20.0, 11.0, "A", "2.5 mm2", "here")
    sizing = m.sizing(m.sized("101", pinned=pinned, limits=(heat,)))
    wires = (m.wire("101", "feed", m.end("battery.+"), m.end("lamp.1")),)
    assert about(pinned_too_small, m.assessed(vehicle, m.harness(wires), sizing_=sizing)) == fires


@pytest.mark.parametrize(
    ("volts", "critical", "says"),
    # Pulls in from 7.2 V, so a coil with less than 1.8 V is off and one with more is weak.
    [(6.5, False, ["warning"]), (6.5, True, ["error"]), (7.3, False, []), (0.4, False, [])],
)
def test_relay_that_the_starter_leaves_with_too_little(volts, critical, says):
    coil = m.load("K1.coil", "K1.86", "K1.85", 90, works_from_v=7.2)
    relay = m.device("K1", "relay", "30 87 85 86", loads=(coil,), written={"critical": critical})
    solved = m.solved(
        m.solution("on", {"K1.86~": 12.4, "K1.85~": 0.0}),
        m.solution("cranking", {"K1.86~": volts, "K1.85~": 0.0}),
    )
    assessed = m.assessed(m.vehicle((relay,)), solved_=solved)
    assert [f.severity for f in relay_coil_weak.check(assessed)] == says
    assert about(relay_coil_weak, assessed) == (["K1.coil"] if says else [])


def with_output(*sizes):
    module = m.device("module", "controller", "M G O1")
    return m.assessed(m.vehicle((module, m.fuse("F1"))), sizing_=m.sizing(*sizes))


@pytest.mark.parametrize(("stands", "fires"), [(9.9, ["module.O1"]), (10.0, [])])
def test_output_trips_before_its_weakest_wire_is_harmed(stands, fires):
    assessed = with_output(m.output("module.O1", 10, 5, weakest_trip_a=stands))
    assert about(output_above_wire, assessed) == fires


@pytest.mark.parametrize(
    ("load", "let_through", "fires"),
    [(5.0, 100.0, []), (5.0, 80.0, ["module.O1"]), (10.0, 100.0, ["module.O1"])],
)
def test_output_lets_its_load_and_inrush_through(load, let_through, fires):
    inrush = Limit("inrush", 90.0, let_through, "A2s", "", "here", "lamp: 30 A for 100 ms")
    assessed = with_output(m.output("module.O1", 10, load, limits=(inrush,)))
    assert about(output_trips_at_work, assessed) == fires


def test_fuse_that_may_open_with_an_output_below_it():
    pair = Selectivity("F1", "module.O1", False, 200.0, 1.0, 0.5)
    assessed = with_output(m.rated("F1", 10, 5, selective=(pair,)), m.output("module.O1", 12, 5))
    assert about(not_selective, assessed) == ["module.O1"]
