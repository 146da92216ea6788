"""Which fuse stands before which wire, in small networks with their currents written by hand."""

import math
from dataclasses import replace

from buildbook.electrical.model import Branch, Solution
from buildbook.sizing.load_paths import load_paths
from buildbook.sizing.protection import protection_of
from tests.checks import minimal as m


def branch(kind, ref, a, b, amps, ohms=0.01, volts=0.0):
    id_ = ref if kind == "source" and ref in ("battery", "alternator") else f"{kind}:{ref}"
    return Branch(id_, kind, ref, a, b, ohms, volts), amps


def found(*branches, **more):
    """Fuse sets by wire of a network: branches with amps from a to b."""
    return {wire: set(fuses) for wire, fuses in protection(*branches, **more).fuses.items()}


def protection(
    *branches, loads=("lamp",), fuses=("F1", "F2"), supply=None, positive=False, isolator=""
):
    devices = [m.fuse(f) for f in fuses] + [
        m.device(x, "lamp", "1 2", loads=(m.load(x, f"{x}.1", f"{x}.2", 2.4),)) for x in loads
    ]
    if isolator:
        closed = m.switch(isolator, "isolator.1", "isolator.2")
        devices.append(m.device("isolator", "isolator", "1 2", contacts=(closed,)))
    wires = tuple(
        m.wire(b.ref, "c", m.end(b.a), m.end(b.b)) for b, _ in branches if b.kind == "wire"
    )
    solution = Solution(
        "on",
        {},
        {b.id: amps for b, amps in branches},
        {b.id: b for b, _ in branches},
        frozenset(),
        0.0,
        0.0,
        0.0,
    )
    vehicle = m.vehicle(tuple(devices), **({"supply": supply} if supply else {}))
    if positive:
        earthed = replace(
            vehicle.supply, earthed_pin="battery.+", live_pin="battery.-", earth="positive"
        )
        vehicle = replace(vehicle, supply=earthed)
    solutions = {"on": solution}
    return protection_of(vehicle, m.harness(wires), load_paths(vehicle, solutions), solutions)


BATTERY = branch("source", "battery", "plus", "minus", -5.0, volts=12.7)
MAIN = branch("wire", "101", "plus", "F1.in~", 5.0)
F1 = branch("fuse", "F1", "F1.in~", "F1.out~", 5.0)
LAMP = branch("load", "lamp", "lamp.1~", "lamp.2~", 5.0)
GROUND = branch("ground", "G1", "G1~", "chassis", 5.0)
STRAP = branch("wire", "109", "chassis", "minus", 5.0)


def test_a_feed_has_the_next_fuse_and_the_return_that_of_its_load_as_far_as_the_chassis():
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    back = branch("wire", "103", "lamp.2~", "G1~", 5.0)
    assert found(BATTERY, MAIN, F1, out, LAMP, back, GROUND, STRAP) == {
        "101": set(),
        "102": {"F1"},
        "103": {"F1"},
        "109": set(),
    }


def test_both_of_two_returns_side_by_side_have_the_fuse_of_their_load():
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    one = branch("wire", "103", "lamp.2~", "G1~", 2.6)
    other = branch("wire", "104", "lamp.2~", "G1~", 2.4)
    fuses = found(BATTERY, MAIN, F1, out, LAMP, one, other, GROUND, STRAP)
    assert fuses["103"] == fuses["104"] == {"F1"}


def test_a_wire_that_either_of_two_fuses_feeds_has_both():
    second = branch("fuse", "F2", "F1.in~", "lamp.1~", 2.0)
    out = branch("wire", "102", "F1.out~", "lamp.1~", 3.0)
    last = branch("wire", "103", "lamp.1~", "x", 5.0)
    lamp = branch("load", "lamp", "x", "lamp.2~", 5.0)
    back = branch("wire", "104", "lamp.2~", "G1~", 5.0)
    fuses = found(BATTERY, MAIN, F1, second, out, last, lamp, back, GROUND, STRAP)
    # a short anywhere between the two draws through both, whichever way the lamp is fed now
    assert fuses["102"] == fuses["103"] == fuses["104"] == {"F1", "F2"}


def test_the_lower_of_two_fuses_stands_before_what_follows_it():
    between = branch("wire", "102", "F1.out~", "F2.in~", 5.0)
    second = branch("fuse", "F2", "F2.in~", "F2.out~", 5.0)
    out = branch("wire", "103", "F2.out~", "lamp.1~", 5.0)
    back = branch("wire", "104", "lamp.2~", "G1~", 5.0)
    fuses = found(BATTERY, MAIN, F1, between, second, out, LAMP, back, GROUND, STRAP)
    assert (fuses["102"], fuses["103"], fuses["104"]) == ({"F1"}, {"F2"}, {"F2"})


def test_an_unfused_way_beside_a_fuse_leaves_the_wire_bare():
    bypass = branch("bus", "X", "F1.in~", "F1.out~", 2.0)
    fuse = branch("fuse", "F1", "F1.in~", "F1.out~", 3.0)
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    back = branch("wire", "103", "lamp.2~", "G1~", 5.0)
    fuses = found(BATTERY, MAIN, fuse, bypass, out, LAMP, back, GROUND, STRAP)
    assert fuses["102"] == fuses["103"] == set()


def test_a_way_past_a_fuse_leaves_the_wire_bare_however_little_it_carries_now():
    """Half a percent of the current goes past the fuse today; a short takes all of it that way."""
    bypass = branch("bus", "X", "F1.in~", "F1.out~", 0.025)
    fuse = branch("fuse", "F1", "F1.in~", "F1.out~", 4.975)
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    assert found(BATTERY, MAIN, fuse, bypass, out, LAMP)["102"] == set()


def test_a_sensors_limited_supply_asks_nothing_of_the_shared_return():
    output = branch("source", "ecu.B1", "s", "lamp.2~", -0.01, volts=5.0)
    feed = branch("wire", "201", "s", "sensor.1~", 0.01)
    sensor = branch("load", "sensor", "sensor.1~", "lamp.2~", 0.01)
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    back = branch("wire", "103", "lamp.2~", "G1~", 5.01)
    fuses = found(
        BATTERY,
        MAIN,
        F1,
        out,
        LAMP,
        back,
        GROUND,
        STRAP,
        output,
        feed,
        sensor,
        loads=("lamp", "sensor"),
    )
    assert fuses["103"] == {"F1"}
    assert fuses["201"] == set()


def test_a_wire_that_carries_nothing_has_the_fuse_that_reaches_it():
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    spare = branch("wire", "105", "F1.out~", "105.cap", 0.0)
    fuses = found(BATTERY, MAIN, F1, out, spare, LAMP)
    assert fuses["105"] == {"F1"}


def test_a_fuse_reaches_still_wires_through_pins_contacts_and_busses_in_either_direction():
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    spare = branch("wire", "105", "F1.out~", "x1", 0.0)
    pin = branch("pin", "X", "x2", "x1", 0.0)
    second = branch("wire", "106", "x2", "s1", 0.0)
    contact = branch("contact", "S", "s1", "s2", 0.0)
    third = branch("wire", "107", "s2", "p1", 0.0)
    bus = branch("bus", "P", "p2", "p1", 0.0)
    fourth = branch("wire", "108", "p2", "108.cap", 0.0)
    behind_a_load = branch("wire", "110", "lamp.2~", "110.cap", 0.0)
    fuses = found(
        BATTERY, MAIN, F1, out, spare, pin, second, contact, third, bus, fourth, behind_a_load, LAMP
    )
    assert {fuses[w] == {"F1"} for w in ("105", "106", "107", "108")} == {True}
    assert fuses["110"] == set()


def test_the_chassis_leads_a_still_wire_to_no_fuse():
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    earthed = branch("wire", "105", "F1.out~", "chassis", 0.0)
    beyond = branch("wire", "106", "chassis", "106.cap", 0.0)
    assert found(BATTERY, MAIN, F1, out, earthed, beyond, LAMP)["106"] == set()


def test_a_current_the_other_way_through_its_load_is_followed_alike():
    turned = branch("load", "lamp", "lamp.2~", "lamp.1~", -5.0)
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    back = branch("wire", "103", "lamp.2~", "G1~", 5.0)
    fuses = found(BATTERY, MAIN, F1, out, turned, back, GROUND, STRAP)
    assert (fuses["102"], fuses["103"], fuses["109"]) == ({"F1"}, {"F1"}, set())


CHARGED = {
    "battery": {"between": ["battery.+", "battery.-"]},
    "alternator": {"between": ["gen.B", "gen.E"], "curve": [["1000 rpm", "40 A"]]},
}


def test_an_alternator_that_joins_behind_a_fuse_gives_its_limit_past_it():
    out = branch("wire", "102", "F1.out~", "lamp.1~", 3.0)
    charge = branch("source", "alternator", "alt", "minus", -2.0, volts=14.0)
    cable = branch("wire", "110", "alt", "lamp.1~", 2.0)
    told = protection(BATTERY, MAIN, F1, out, charge, cable, LAMP, supply=CHARGED)
    assert (told.fuses["102"], told.fuses["110"]) == ({"F1"}, {"F1"})
    assert (told.unfused_a["102"], told.unfused_a["110"]) == (40.0, 40.0)
    assert told.unfused_a["101"] == math.inf
    output = branch("source", "ecu.B1", "alt", "minus", -2.0, volts=14.0)
    told = protection(BATTERY, MAIN, F1, out, output, cable, LAMP)
    assert (told.fuses["102"], told.unfused_a["102"]) == ({"F1"}, 0.0)


def test_a_fused_alternator_has_its_own_fuse_and_the_batterys_before_what_both_feed():
    out = branch("wire", "102", "F1.out~", "lamp.1~", 3.0)
    charge = branch("source", "alternator", "alt", "minus", -2.0, volts=14.0)
    own = branch("wire", "109", "alt", "F2.in~", 2.0)
    second = branch("fuse", "F2", "F2.in~", "F2.out~", 2.0)
    cable = branch("wire", "110", "F2.out~", "lamp.1~", 2.0)
    told = protection(BATTERY, MAIN, F1, out, charge, own, second, cable, LAMP, supply=CHARGED)
    assert told.fuses["102"] == told.fuses["110"] == {"F1", "F2"}
    assert told.unfused_a["102"] == told.unfused_a["110"] == 0.0
    # the battery's current reaches the alternator's own wire through its fuse alone
    assert (told.fuses["109"], told.unfused_a["109"]) == ({"F2"}, 40.0)


SERIES = {
    "batteries": {
        "lower": {"between": ["lower.+", "lower.-"]},
        "upper": {"between": ["upper.+", "upper.-"]},
    }
}


def test_two_batteries_in_series_leave_their_link_bare_and_a_fuse_on_the_tap_guards_it():
    lower = branch("source", "lower", "mid", "minus", -7.0, volts=12.6)
    upper = branch("source", "upper", "plus", "mid2", -5.0, volts=12.6)
    link = branch("wire", "100", "mid", "mid2", 5.0)
    tap = branch("fuse", "F2", "mid", "F2.out~", 2.0)
    radio = branch("wire", "105", "F2.out~", "radio.1~", 2.0)
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    parts = (lower, upper, link, tap, radio, MAIN, F1, out, LAMP)
    told = protection(*parts, supply=SERIES)
    assert [told.fuses[w] for w in ("100", "101", "102", "105")] == [set(), set(), {"F1"}, {"F2"}]
    assert told.unfused_a["100"] == told.unfused_a["101"] == math.inf


def test_a_fuse_in_the_link_of_two_batteries_stands_before_what_the_upper_feeds():
    lower = branch("source", "lower", "F2.in~", "minus", -5.0, volts=12.6)
    link = branch("fuse", "F2", "F2.in~", "F2.out~", 5.0)
    upper = branch("source", "upper", "plus", "F2.out~", -5.0, volts=12.6)
    told = protection(lower, link, upper, MAIN, F1, LAMP, supply=SERIES)
    assert (told.fuses["101"], told.unfused_a["101"]) == ({"F2"}, 0.0)


POSITIVE = (
    branch("source", "battery", "earth", "minus", -5.0, volts=6.3),
    branch("ground", "G1", "earth", "chassis", 5.0),
    branch("ground", "G2", "lamp.1~", "chassis", -5.0),
    branch("load", "lamp", "lamp.1~", "lamp.2~", 5.0),
    branch("wire", "102", "lamp.2~", "F1.out~", 5.0),
    branch("fuse", "F1", "F1.out~", "F1.in~", 5.0),
    branch("wire", "101", "F1.in~", "minus", 5.0),
)


def test_with_the_plus_on_the_body_the_fuse_stands_before_the_minus_side():
    told = protection(*POSITIVE, positive=True)
    assert (told.fuses["101"], told.fuses["102"]) == (set(), {"F1"})
    assert (told.unfused_a["101"], told.unfused_a["102"]) == (math.inf, 0.0)


def test_with_the_plus_on_the_body_an_earth_wire_has_the_fuse_of_its_load():
    earth = branch("wire", "103", "G2~", "lamp.1~", 5.0)
    stud = branch("ground", "G2", "G2~", "chassis", -5.0)
    parts = [b for b in POSITIVE if b[0].id != "ground:G2"]
    assert protection(*parts, stud, earth, positive=True).fuses["103"] == {"F1"}


def test_a_circle_of_current_is_gone_through_once_and_has_the_fuse_before_it():
    # 2 A run round through 201 and 202, a stretch of 102's way: all lie behind F1
    out = branch("wire", "102", "F1.out~", "S1", 7.0)
    round_one = branch("wire", "201", "S1", "S2", 2.0)
    round_two = branch("wire", "202", "S2", "F1.out~", 2.0)
    last = branch("wire", "103", "S1", "lamp.1~", 5.0)
    back = branch("wire", "104", "lamp.2~", "S3", 7.0)
    round_back = branch("wire", "203", "S3", "lamp.2~", 2.0)
    ground = branch("wire", "105", "S3", "G1~", 5.0)
    wires = (out, round_one, round_two, last, back, round_back, ground)
    fuses = found(BATTERY, MAIN, F1, *wires, LAMP, GROUND, STRAP)
    assert {
        w: fuses[w] for w in ("102", "103", "104", "105", "201", "202", "203")
    } == dict.fromkeys(("102", "103", "104", "105", "201", "202", "203"), {"F1"})


def test_a_ring_of_wires_without_current_has_the_fuse_whose_output_reaches_it():
    ring = [
        branch("wire", ref, a, b, 0.0)
        for ref, a, b in (
            ("301", "F2.out~", "S1"),
            ("302", "S1", "S2"),
            ("303", "S2", "F2.out~"),
            ("304", "S2", "chassis"),
            ("305", "chassis", "spare.1~"),
        )
    ]
    second = branch("fuse", "F2", "F1.in~", "F2.out~", 0.0)
    out = branch("wire", "102", "F1.out~", "lamp.1~", 5.0)
    back = branch("wire", "103", "lamp.2~", "G1~", 5.0)
    fuses = found(BATTERY, MAIN, F1, second, out, LAMP, back, GROUND, STRAP, *ring)
    assert [fuses[w] for w in ("301", "302", "303", "304")] == [{"F2"}] * 4
    assert fuses["305"] == set()  # past the body it is nobody's


def test_an_isolator_parts_what_lies_behind_it_and_a_short_returns_by_the_strap():
    """The strap carries a short of the bare wire, the lamp's own earth wire does not."""
    contact = branch("contact", "isolator.1-2", "main", "F1.in~", 5.0)
    main = branch("wire", "101", "plus", "main", 5.0)
    behind = branch("wire", "102", "F1.in~", "spare", 0.0)
    back = branch("wire", "103", "lamp.2~", "G1~", 5.0)
    lamp = branch("load", "lamp", "F1.in~", "lamp.2~", 5.0)
    ground = branch("ground", "G2", "G2~", "chassis", -5.0)
    strap = branch("wire", "109", "G2~", "minus", 5.0)
    told = protection(
        BATTERY, main, contact, behind, lamp, back, GROUND, ground, strap, isolator="isolator.1-2"
    )
    assert told.switched >= {"102"}
    assert "101" not in told.switched
    assert told.returning == {"109"}
    assert [told.unfused_a[w] for w in ("101", "102", "109")] == [math.inf] * 3
