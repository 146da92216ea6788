"""What a first harness teaches: currents, areas, legs of splices and conductors side by side."""

from dataclasses import replace

import pytest

from buildbook.electrical.model import Solved
from buildbook.harness.splices import Leg
from buildbook.harness.wires import wire_key
from buildbook.sizing.first_pass import learn
from buildbook.sizing.model import Limit
from tests.checks import minimal as m


def learned(*told):
    """Of wires as (id, circuit, kind of its b end, label, amps, limits, pinned)."""
    wires, rows, amps = [], [], {}
    for id_, circuit, kind, label, current, limits, pinned in told:
        end = m.end(f"{kind}-{circuit}", kind)
        wires.append(m.wire(id_, circuit, m.end(f"{id_}.1"), end))
        rows.append(m.sized(id_, label, limits=limits, pinned=pinned))
        amps[f"wire:{id_}"] = current
    by_state = {"on": m.solution("on", amps=amps)}
    harness = m.harness(tuple(wires))
    return learn(harness, m.sizing(*rows), Solved(by_state, by_state)), harness


def of(harness, wire):
    found = harness.wires[wire]
    return wire_key(found.circuit, found.harness, found.a, found.b)


def heat(value, allowed=10.0, name="heat", unit="A"):
    return Limit(name, value, allowed, unit, "", "this test")


def told(id_, circuit="c", kind="pin", label="1 mm2", amps=2.0, limits=(), pinned=False):
    return id_, circuit, kind, label, amps, limits, pinned


def test_a_circuit_has_the_largest_current_of_its_wires_whatever_the_sign():
    known, _ = learned(
        told("1", amps=2.0), told("2", amps=-5.0), told("3", amps=3.0), told("4", "d", amps=0.5)
    )
    assert known.current_a == {"c": 5.0, "d": 0.5}


def test_what_crosses_a_pass_through_is_not_what_the_trunk_carries():
    # 51 A in the trunk, of which 10 A pass the plug in two contacts
    wires = [
        m.wire("1", "horns", m.end("F1.out"), m.end("S1", "splice")),
        m.wire("2a", "horns", m.end("S1", "splice"), m.end("X2.1/cabin", "half")),
        m.wire("2b", "horns", m.end("S1", "splice"), m.end("X2.2/cabin", "half")),
        m.wire("3", "horns", m.end("X2.1/front", "half"), m.end("horn.1")),
    ]
    amps = {"wire:1": 51.0, "wire:2a": 6.0, "wire:2b": -4.0, "wire:3": 10.0}
    by_state = {"on": m.solution("on", amps=amps)}
    sizing = m.sizing(*(m.sized(w.id, "1 mm2") for w in wires))
    known = learn(m.harness(tuple(wires)), sizing, Solved(by_state, by_state))
    assert known.current_a == {"horns": 51.0}
    assert known.crossing_a == {("X2", "horns"): 10.0}


def test_only_wires_to_a_pass_through_give_its_area_and_the_thickest_counts():
    known, _ = learned(
        told("1", label="1 mm2", kind="half"),
        told("2", label="2.5 mm2", kind="half"),
        told("3", label="1.5 mm2", kind="half"),
        told("4", label="6 mm2"),
        told("5", "d", label="0.5 mm2", kind="half"),
    )
    assert known.area_mm2 == {"c": 2.5, "d": 0.5}


def test_a_leg_of_a_splice_is_known_by_area_and_current():
    known, harness = learned(told("1", label="2.5 mm2", kind="splice", amps=-4.0), told("2"))
    assert known.legs == {of(harness, "1"): Leg("", 2.5, 4.0)}


def test_wires_between_two_splices_share_a_leg_with_the_most_of_each():
    key = ("c", "h", "splice")
    thick = m.wire("1", "c", m.end("S1", "splice"), m.end("S2", "splice"))
    hard = replace(thick, id="2")
    amps = {"wire:1": 1.0, "wire:2": 3.0}
    by_state = {"on": m.solution("on", amps=amps)}
    sizing = m.sizing(m.sized("1", "1.5 mm2"), m.sized("2", "0.5 mm2"))
    known = learn(m.harness((thick, hard)), sizing, Solved(by_state, by_state))
    assert known.legs == {key: Leg("", 1.5, 3.0)}


@pytest.mark.parametrize(
    ("limit", "count"),
    [
        (heat(10.0), 1),  # it carries what is asked
        (heat(10.1), 2),  # two are trusted with 2 * 0.8 * 10 A = 16 A
        (heat(16.0), 2),
        (heat(16.1), 3),
        (heat(30.0, 0.0), 1),  # what may carry nothing is not mended by another beside it
        (heat(3.0, 0.9), 5),  # 3 / 0.72 = 4.2
        (heat(30.0, unit="degC"), 1),  # air too hot is not mended by copper
        (heat(30.0, name="drop"), 1),
    ],
)
def test_conductors_side_by_side_carry_eight_tenths_of_their_sum(limit, count):
    known, harness = learned(told("1", limits=(limit,)))
    assert known.parallel == ({of(harness, "1"): count} if count > 1 else {})


def test_the_hardest_unmet_row_decides_and_a_pinned_size_is_left_alone():
    rows = (heat(17.0), heat(50.0), heat(1.0))
    known, harness = learned(told("1", limits=rows))
    assert known.parallel == {of(harness, "1"): 7}  # 50 / 8 = 6.25
    assert learned(told("1", limits=rows, pinned=True))[0].parallel == {}


def test_of_wires_of_one_name_the_one_that_needs_most_conductors_counts():
    ends = m.end("S1", "splice"), m.end("S2", "splice")
    wires = tuple(m.wire(id_, "c", *ends) for id_ in "123")
    sizing = m.sizing(
        *(
            m.sized(id_, "1 mm2", limits=(heat(amps),))
            for id_, amps in (("1", 12.0), ("2", 20.0), ("3", 12.0))
        )
    )
    by_state = {"on": m.solution("on")}
    known = learn(m.harness(wires), sizing, Solved(by_state, by_state))
    assert known.parallel == {("c", "h", "splice"): 3}
