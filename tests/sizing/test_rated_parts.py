"""Contacts, drivers, outputs, coils and splices with what they carry and what they may."""

from dataclasses import replace

import pytest

from buildbook.electrical.model import Solved
from buildbook.harness.model import Splice
from buildbook.sizing.rated_parts import BARREL_MM2, largest_a, rated_parts, thicker_side_mm2
from tests.checks import minimal as m


def one(device, *solutions, harness=None, areas=None):
    by_state = {s.state: s for s in solutions}
    found = rated_parts(
        m.vehicle((device,)), harness or m.harness(), Solved(by_state, by_state), areas or {}
    )
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize(("amps", "met"), [(9.99, True), (10.0, True), (10.01, False)])
def test_contact_against_its_limit(amps, met):
    device = m.device("s", "switch", "1 2", contacts=(m.switch("s.1-2", "s.1", "s.2", limit_a=10),))
    found = one(device, m.solution("on", amps={"contact:s.1-2": -amps}), m.solution("off"))
    assert (found.kind, found.state) == ("switch", "on")
    (limit,) = found.limits
    assert (limit.value, limit.allowed, limit.met) == (amps, 10, met)


def test_a_contact_without_a_limit_is_left_out():
    device = m.device("s", "switch", "1 2", contacts=(m.switch("s.1-2", "s.1", "s.2"),))
    solved = Solved({}, {})
    assert rated_parts(m.vehicle((device,)), m.harness(), solved, {}) == ()


def test_largest_current_is_of_root_mean_square_and_average():
    meter = {"on": m.solution("on", amps={"x": 2.0})}
    heating = {"on": m.solution("on", amps={"x": 3.0}), "off": m.solution("off")}
    assert largest_a(Solved(meter, heating), "x") == (3.0, "on")
    assert largest_a(Solved(heating, meter), "x") == (3.0, "on")
    assert largest_a(Solved(meter, heating), "y")[0] == 0.0


def test_a_regulated_output_has_a_limit_and_a_pull_up_has_none():
    strong = m.source("ecu.B1", "ecu.B1", "ecu.B2", volts=5.0, ohms=0.5, limit_a=0.1)
    pull_up = m.source("ecu.B3", "ecu.B3", "ecu.B2", volts=5.0, ohms=2500.0, limit_a=0.001)
    device = m.device("ecu", "controller", "B1 B2 B3", sources=(strong, pull_up))
    found = one(device, m.solution("on", amps={"source:ecu.B1": -0.05}))
    assert (found.id, found.kind) == ("ecu.B1", "output")
    assert (found.limits[0].value, found.limits[0].allowed) == (0.05, 0.1)


def relay(suppressed):
    coil = m.load("K1.coil", "K1.86", "K1.85", 90.0, works_from_v=7.2)
    contact = m.switch("K1.30-87", "K1.30", "K1.87", control=("K1.86", "K1.85"), kind="relay")
    return m.device(
        "K1",
        "relay",
        "30 87 85 86",
        loads=(coil,),
        contacts=(contact,),
        written={"coil": {"suppressed": suppressed}},
    )


def coil_at(volts, closed=True, state="on"):
    solution = m.solution(state, {"K1.86~": volts + 0.5, "K1.85~": 0.5})
    return replace(solution, closed=frozenset({"K1.30-87"} if closed else ()))


def test_the_least_volts_of_a_closed_relay_against_its_pull_in():
    off = coil_at(0.0, closed=False, state="off")
    found = one(relay("diode"), coil_at(12.0), coil_at(8.0, state="cranking"), off)
    assert found.state == "cranking"
    pulls_in, suppressed = found.limits
    assert (pulls_in.value, pulls_in.allowed) == (7.2, 8.0)
    assert pulls_in.met and suppressed.met


def test_a_bare_coil_is_not_suppressed():
    assert not one(relay("none"), coil_at(12.0)).limits[-1].met


@pytest.mark.parametrize(
    ("areas", "barrel"), [([1, 1, 1], 2), ([6, 1, 1], 6), ([2.5, 1.5, 1.5, 0.5], 3.5), ([4], 4)]
)
def test_a_splice_has_its_thickest_wire_on_one_side(areas, barrel):
    wires = tuple(f"w{n}" for n in range(len(areas)))
    by_id = dict(zip(wires, areas, strict=True))
    splice = Splice("S1", "c", "h", "P", 0.0, wires)
    assert thicker_side_mm2(splice, by_id) == barrel
    found = rated_parts(m.vehicle(), m.harness(splices=(splice,)), Solved({}, {}), by_id)
    assert (found[0].limits[0].value, found[0].limits[0].allowed) == (barrel, BARREL_MM2)


def test_every_row_says_what_it_is_in_which_unit_and_where_it_comes_from():
    stated = "the limit in this description, from the device's data sheet"
    switch = m.device("s", "switch", "1 2", contacts=(m.switch("s.1-2", "s.1", "s.2", limit_a=10),))
    found = one(switch, m.solution("on"))
    (row,) = found.limits
    assert (found.id, found.device) == ("s.1-2", "s")
    assert (row.name, row.unit, row.needs, row.source) == ("contact", "A", "", stated)
    strong = m.source("ecu.B1", "ecu.B1", "ecu.B2", volts=5.0, ohms=0.5, limit_a=0.1)
    ecu = one(m.device("ecu", "controller", "B1 B2", sources=(strong,)), m.solution("on"))
    (row,) = ecu.limits
    assert (ecu.device, row.name, row.unit, row.source) == ("ecu", "output", "A", stated)
    coil = one(relay("none"), coil_at(12.0))
    pulls_in, bare = coil.limits
    assert (coil.id, coil.device, coil.kind) == ("K1.coil", "K1", "coil")
    assert (pulls_in.name, pulls_in.unit, pulls_in.needs) == ("pulls in", "V", "")
    assert "stay open" in pulls_in.source and pulls_in.source.startswith("pull-in share")
    assert (bare.name, bare.unit, bare.needs) == ("suppressed", "", "")
    assert (bare.value, bare.allowed) == (1.0, 0.0)
    assert bare.source.startswith("common practice, no source")
    splice = Splice("S1", "c", "h", "P", 0.0, ("a",))
    (joint,) = rated_parts(m.vehicle(), m.harness(splices=(splice,)), Solved({}, {}), {"a": 1.0})
    assert (joint.id, joint.device, joint.kind, joint.state) == ("S1", "c", "splice", "")
    (row,) = joint.limits
    assert (row.name, row.unit, row.needs, row.source) == (
        "barrel",
        "mm2",
        "",
        "barrel of a parallel splice, copper of the thicker side (memory)",
    )


def test_a_relay_that_never_closes_is_asked_only_about_its_diode():
    found = one(relay("diode"), coil_at(0.0, closed=False))
    assert [row.name for row in found.limits] == ["suppressed"]
    assert found.state == ""
