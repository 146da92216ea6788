"""The ways of loads in small networks, with their currents written by hand."""

import pytest

from buildbook.electrical.model import Branch, Solution
from buildbook.sizing.load_paths import (
    charging_branches,
    charging_path,
    cranking_states,
    load_paths,
)
from tests.checks import minimal as m


def solution(*branches, charging_a=0.0, alternator_a=0.0, state="on"):
    """Branches as (kind, ref, a, b, amps from a to b, ohms)."""
    made, amps = {}, {}
    for kind, ref, a, b, current, ohms in branches:
        id_ = ref if ref in ("battery", "alternator") else f"{kind}:{ref}"
        made[id_] = Branch(id_, kind, ref, a, b, ohms)
        amps[id_] = current
    return Solution(state, {}, amps, made, frozenset(), charging_a, alternator_a, 0.0)


def vehicle(kind="lamp"):
    load = m.load("lamp", "lamp.1", "lamp.2", 2.4)
    return m.vehicle((m.device("lamp", kind, "1 2", loads=(load,)), m.fuse("F1")))


FED = (
    ("source", "battery", "plus", "minus", -5.0, 0.01),
    ("wire", "101", "plus", "F1.in~", 5.0, 0.010),
    ("fuse", "F1", "F1.in~", "F1.out~", 5.0, 0.020),
    ("wire", "102", "F1.out~", "lamp.1~", 3.0, 0.010),
    ("wire", "103", "F1.out~", "lamp.1~", 2.0, 0.015),
    ("load", "lamp", "lamp.1~", "lamp.2~", 5.0, 2.4),
    ("wire", "104", "lamp.2~", "chassis", 5.0, 0.004),
    ("ground", "G1", "chassis", "minus", 5.0, 0.006),
)


def one(*branches, kind="lamp", **fields):
    (path,) = load_paths(vehicle(kind), {"on": solution(*branches, **fields)})
    return path


def test_a_way_goes_from_the_source_to_the_load_and_back_by_the_largest_current():
    path = one(*FED)
    assert [b.ref for b in path.counted if b.kind != "source"] == [
        "101",
        "F1",
        "102",
        "104",
        "G1",
    ]
    assert path.source == "battery"
    assert sorted(path.wires) == ["101", "102", "104"]
    assert path.current_a == 5.0


def test_a_way_loses_in_its_wires_and_in_all_else():
    # fuse 5 A * 20 mohm and ground 5 A * 6 mohm; wires 5 * 10 + 3 * 10 + 5 * 4 mV; 3 % of 12 V
    path = one(*FED)
    assert path.other_drop_v == pytest.approx(0.130)
    assert path.lost_v == pytest.approx(0.130 + 0.100)
    assert path.allowed_v == pytest.approx(0.36)


def test_a_load_that_only_leaks_or_has_no_source_has_no_way():
    small = [(*b[:4], b[4] * 1e-5, b[5]) for b in FED]
    assert load_paths(vehicle(), {"on": solution(*small)}) == []
    assert load_paths(vehicle(), {"on": solution(*FED[1:])}) == []


def test_a_load_fed_backwards_is_followed_from_its_other_end():
    turned = [(*b[:2], b[3], b[2], -b[4], b[5]) if b[0] == "load" else b for b in FED]
    assert one(*turned).wires == one(*FED).wires


CHARGED = (
    ("source", "alternator", "out", "minus", -8.0, 0.01),
    ("wire", "105", "out", "plus", 8.0, 0.005),
    ("wire", "106", "plus", "post", 3.0, 0.003),
    ("source", "battery", "post", "minus", 3.0, 0.3),
    *FED[1:],
)


def test_between_alternator_and_battery_drop_does_not_count():
    charged = solution(*CHARGED, charging_a=3.0, alternator_a=8.0)
    assert {"wire:105", "wire:106"} <= charging_branches(vehicle(), {"on": charged})
    path = one(*CHARGED, charging_a=3.0, alternator_a=8.0)
    assert path.source == "alternator"
    assert "105" not in path.wires and "101" in path.wires


def test_charging_has_a_way_of_its_own_with_all_that_the_alternator_gives():
    # 60 A through 5 and 3 mohm of wire; 3 % of 12 V. There is nothing else between the two
    supply = {
        "battery": {"between": ["battery.+", "battery.-"]},
        "alternator": {
            "between": ["alternator.B", "alternator.D"],
            "curve": [["1500 rpm", "5 A"], ["3000 rpm", "60 A"]],
        },
    }
    car = m.vehicle((m.device("alternator", "alternator", "B D"),), supply=supply)
    path = charging_path(car, {"on": solution(*CHARGED, charging_a=3.0, alternator_a=8.0)})
    assert (path.load.id, path.wires, path.allowed_v) == (
        "alternator",
        ("105", "106"),
        pytest.approx(0.36),
    )
    assert path.lost_v == pytest.approx(60 * 0.008)
    assert charging_path(car, {"on": solution(*FED)}) is None


TOGETHER = (
    ("source", "battery", "post", "minus", -2.0, 0.01),
    ("wire", "106", "post", "plus", 2.0, 0.003),
    ("source", "alternator", "out", "minus", -3.0, 0.01),
    ("wire", "105", "out", "plus", 3.0, 0.005),
    *FED[1:],
)


def test_where_both_feed_the_drop_counts_from_the_battery():
    # an alternator at its limit regulates nothing: the lamp has the battery's volts less 2 A * 3
    # mohm and what follows, and nothing that is lost between the alternator and there
    charged = solution(*CHARGED, charging_a=3.0, alternator_a=8.0, state="charging")
    both = solution(*TOGETHER, charging_a=-2.0, alternator_a=3.0)
    (path,) = (
        p for p in load_paths(vehicle(), {"charging": charged, "on": both}) if p.state == "on"
    )
    assert sorted(path.wires) == ["101", "102", "104", "106"]


def test_a_battery_that_gives_is_not_charged():
    assert charging_branches(vehicle(), {"on": solution(*FED)}) == frozenset()


@pytest.mark.parametrize(("amps", "turns"), [(20.0, False), (20.1, True), (-150.0, True)])
def test_a_starter_turns_above_20_a(amps, turns):
    load = ("load", "lamp", "lamp.1~", "lamp.2~", amps, 0.05)
    found = cranking_states(vehicle("starter"), {"on": solution(load)})
    assert found == (frozenset({"on"}) if turns else frozenset())


def test_in_a_cranking_state_every_load_has_the_cranking_allowance():
    starter = m.device(
        "starter", "starter", "1 2", loads=(m.load("starter", "starter.1", "starter.2", 0.06),)
    )
    lamp = m.device("lamp", "lamp", "1 2", loads=(m.load("lamp", "lamp.1", "lamp.2", 2.4),))
    turning = ("load", "starter", "plus", "minus", 150.0, 0.06)
    paths = load_paths(m.vehicle((starter, lamp, m.fuse("F1"))), {"on": solution(*FED, turning)})
    assert {p.load.id: p.kind for p in paths} == {"lamp": "cranking", "starter": "cranking"}


def test_current_that_runs_in_a_circle_beside_a_way_is_left_at_the_first_node_seen_again():
    # 1 A circles through 201 and 202 between the fuse and the splice; 5 A goes to the lamp
    circle = (
        ("source", "battery", "plus", "minus", -5.0, 0.01),
        ("fuse", "F1", "plus", "F1.out~", 5.0, 0.020),
        ("wire", "101", "F1.out~", "S1", 6.0, 0.010),
        ("wire", "201", "S1", "S2", 1.0, 0.010),
        ("wire", "202", "S2", "F1.out~", 1.0, 0.010),
        ("wire", "102", "S1", "lamp.1~", 5.0, 0.010),
        *FED[5:],
    )
    path = one(*circle)
    assert (path.source, sorted(path.wires)) == ("battery", ["101", "102", "104"])


def test_a_way_through_a_circle_that_is_larger_than_the_feed_ends_and_has_no_source():
    # S1 gets 9 A from S2 and 5 A from the fuse, and sends 9 A back to S2: no network without a
    # source in the circle does that, and the walk must end all the same
    circle = (
        ("source", "battery", "plus", "minus", -5.0, 0.01),
        ("fuse", "F1", "plus", "S1", 5.0, 0.020),
        ("wire", "201", "S1", "S2", 9.0, 0.010),
        ("wire", "202", "S2", "S1", 9.0, 0.010),
        ("wire", "102", "S1", "lamp.1~", 5.0, 0.010),
        *FED[5:],
    )
    assert load_paths(vehicle(), {"on": solution(*circle)}) == []


def test_a_way_never_leads_through_another_load():
    # the lamp's feed comes through a heater that stands in its way, and through nothing else
    heater = ("load", "heater", "F1.out~", "lamp.1~", 5.0, 0.2)
    through = [*(b for b in FED if b[1] not in ("102", "103")), heater]
    assert load_paths(vehicle(), {"on": solution(*through)}) == []


def test_the_way_of_charging_goes_through_batteries_that_stand_on_one_another(two_batteries):
    # its alternator gives 55 A at most, over feed, link and return; the tap's wires are not of it
    path = charging_path(two_batteries.vehicle, two_batteries.solved.heating)
    wires = two_batteries.harness.wires
    ends = {frozenset((wires[w].a.node, wires[w].b.node)) for w in path.wires}
    assert path.current_a == 55.0
    assert any("alternator.B+" in pair for pair in ends)
    assert frozenset(("lower.+", "upper.-")) in ends
    assert not any("radio" in node for pair in ends for node in pair)
