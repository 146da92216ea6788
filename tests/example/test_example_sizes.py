"""Sizes and fuses of the example vehicle: facts that must hold of every wire."""

import pytest

from buildbook.sizing.choose import MOST_ROUNDS
from buildbook.sizing.finished_runs import conductor_of
from buildbook.sizing.fuse_load import FLAT_BATTERY
from buildbook.sizing.fuse_rating import holds
from buildbook.sizing.limits import ORDER
from buildbook.sizing.openers import family_of
from buildbook.sizing.resistance import one_wire_ohms


def test_sizes_come_to_rest(lapwing):
    assert lapwing.sizing.rounds < MOST_ROUNDS


def test_every_wire_and_fuse_has_a_size_and_a_reason(lapwing):
    vehicle = lapwing.vehicle
    harness = lapwing.harness
    sizing = lapwing.sizing
    assert sizing.wires.keys() == harness.wires.keys()
    assert sizing.fuses.keys() == {d.id for d in vehicle.all_of("fuse")}
    for wire in sizing.wires.values():
        assert wire.governing in {*ORDER, "author"}
        assert wire.governing == "author" or wire.limits


def test_no_unpinned_wire_runs_hotter_than_its_insulation(lapwing):
    vehicle = lapwing.vehicle
    sizing = lapwing.sizing
    hot = {
        w.wire: w.conductor_c
        for w in sizing.wires.values()
        if not w.pinned and w.conductor_c > vehicle.wire_families[w.family].rated_c + 0.5
    }
    assert not hot


def test_no_fuse_outgrows_an_unpinned_wire_behind_it(lapwing):
    sizing = lapwing.sizing
    weak = [
        (w.wire, row)
        for w in sizing.wires.values()
        for row in w.limits
        if row.name == "fuse" and not w.pinned and not row.met
    ]
    assert not weak


@pytest.mark.parametrize(
    ("circuit", "fuse"),
    [
        ("pump ground", "F4"),
        ("coil ground", "F24"),
        ("left fan ground", "F5"),
        ("side lamps", "F15"),
        ("left indicators", "F10"),
        ("alternator ground", ""),
        ("battery ground", ""),
    ],
)
def test_returns_and_feeds_that_leak_backwards_when_off_keep_their_fuse(lapwing, circuit, fuse):
    # what flows backwards through a lamp that is off, from one ground to another, is no feed
    harness = lapwing.harness
    sizing = lapwing.sizing
    wires = [w.id for w in harness.wires.values() if w.circuit == circuit]
    assert wires and {sizing.wires[w].fuse for w in wires} == {fuse}


def test_unpinned_fuses_carry_their_load_with_a_quarter_in_hand(lapwing):
    for fuse in lapwing.sizing.fuses.values():
        if not fuse.pinned:
            assert fuse.load_a <= 0.75 * fuse.rating_a + 1e-9


def test_alternator_fuse_and_cable_carry_its_whole_output(lapwing):
    # a flat battery takes all that the curve gives at its end: 95 A, a quarter in hand
    harness = lapwing.harness
    sizing = lapwing.sizing
    fuse = sizing.fuses["MF1"]
    assert fuse.load_a >= 95 and fuse.rating_a >= 95 / 0.75
    (cable,) = (w.id for w in harness.wires.values() if w.circuit == "alternator output")
    assert sizing.wires[cable].current_a >= 95


def test_starter_cable_is_thick_and_unfused(lapwing):
    vehicle = lapwing.vehicle
    sizing = lapwing.sizing
    solved = lapwing.solved
    (starter,) = vehicle.all_of("starter")
    solution = solved.meter["cranking"]
    amps = max(
        abs(solution.current_a[f"load:{x.id}"])
        for x in starter.loads
        if f"load:{x.id}" in solution.current_a
    )
    cables = [w for w in sizing.wires.values() if w.drop_v and w.current_a > 0.8 * amps]
    assert cables
    assert all(w.area_mm2 >= 16 and w.fuse == "" for w in cables)


def test_relay_contacts_close_when_their_coils_are_fed(lapwing):
    vehicle, solved = lapwing.vehicle, lapwing.solved
    night = solved.meter["full load at night"]
    for relay in vehicle.all_of("relay"):
        for contact in relay.contacts:
            if contact.control and night.state in contact.states:
                plus, minus = (f"{pin}~" for pin in contact.control)
                pulled = abs(night.across(plus, minus)) >= contact.control_v
                assert (contact.id in night.closed) == (pulled != contact.inverted)


def test_resistances_are_those_the_solutions_used(lapwing):
    vehicle = lapwing.vehicle
    harness = lapwing.harness
    sizing = lapwing.sizing
    solved = lapwing.solved
    ohms = {
        w: one_wire_ohms(harness.wires[w], conductor_of(vehicle, s), s.conductor_c)
        for w, s in sizing.wires.items()
    }
    branches = solved.meter["idle"].branches
    found = {w: branches[f"wire:{w}"].ohms for w in ohms}
    assert found == pytest.approx(ohms, rel=0.01)


def test_both_grounds_of_the_controller_have_a_fuse(lapwing):
    # its current divides between them: neither is the largest way
    grounds = [
        w.id for w in lapwing.harness.wires.values() if w.circuit.startswith("controller ground")
    ]
    assert len(grounds) >= 2
    assert all(lapwing.sizing.wires[w].fuse for w in grounds)


def test_alternators_fuse_is_judged_for_a_flat_battery(lapwing):
    assert lapwing.sizing.fuses["MF1"].state == FLAT_BATTERY


def test_no_fuse_is_asked_to_break_more_than_it_can(lapwing):
    for fuse in lapwing.sizing.fuses.values():
        (row,) = (x for x in fuse.limits if x.name == "breaking")
        assert row.met


def test_every_wires_drop_is_the_product_of_the_factors_printed(lapwing):
    for wire in lapwing.sizing.wires.values():
        k = wire.working
        hot = k.ohm_per_m_20c * k.length_m * (234.5 + wire.conductor_c) / 254.5
        assert wire.drop_v == pytest.approx(k.drop_a * (hot + k.joints_ohm), rel=0.005, abs=1e-6)


def test_every_ways_parts_add_up_to_what_its_limit_says(lapwing):
    ways = {(w.load, w.state): w for w in lapwing.sizing.path_drops}
    for wire in lapwing.sizing.wires.values():
        for row in wire.limits:
            if row.name == "drop":
                way = ways[wire.working.drop_load, wire.working.drop_state]
                assert row.value == pytest.approx(sum(p.volts for p in way.parts), rel=1e-6)
                assert row.allowed == way.allowed_v


def test_the_fuse_of_the_throttle_lets_a_step_pass(lapwing):
    """Drivers for throttles regulate at 6.5 A, 1.5 A more or less, by a maker's data sheet."""
    fuse = lapwing.sizing.fuses["F28"]
    family = family_of(lapwing.vehicle, "F28")
    assert holds(family, fuse.rating_a * fuse.derating, 6.5 + 1.5, 0.2)
