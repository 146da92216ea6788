"""A line of rope laid as a whole: every wire followed through all sections crosses no layer."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.harness.lay_along import MOST_FLAT, lay_along
from buildbook.harness.lay_up import LayUp, Strand, lay_up, spots
from buildbook.harness.laying_lines import LayingLine, laying_lines
from buildbook.harness.places import FLAT, Stay, lay_up_at
from tests.checks import minimal as m

NOT_A_MATTER_OF_TIGHTNESS = 0.9
"""Share of two strands' width within which one counts as straight outside of another: if it also
stands out by a quarter of its width more."""


def stay(name: str, enters: int, leaves: int, diameter_mm: float = 1.6) -> Stay:
    return Stay(Strand((name,), diameter_mm), enters, leaves, float(leaves - enters))


def layer_of(found: LayUp) -> dict[str, str]:
    return {wire: layer.name for layer in found.layers for s in layer.strands for wire in s.wires}


def crossings(stays: list[Stay], sections: int) -> list[str]:
    """What is wrong with a laid line, followed wire by wire from section to section."""
    laying = lay_along(stays, [1.0] * sections)
    cut = [lay_up_at(laying, section) for section in range(sections)]
    held = [{s.strand.wires[0] for s in stays if s.enters <= n < s.leaves} for n in range(sections)]
    if not laying.layers:
        return []
    names = [layer_of(found) for found in cut]
    wrong = [
        f"{wire} is in section {n} but not drawn"
        for n, (wires, name) in enumerate(zip(held, names, strict=True))
        for wire in wires
        if name and wire not in name
    ]
    for n, (near, far) in enumerate(pairwise(names), 1):
        moved = [w for w in near.keys() & far.keys() if near[w] != far[w]]
        wrong += [f"{wire} changes its layer at {n}" for wire in moved]
        for here, there in ((cut[n - 1], held[n]), (cut[n], held[n - 1])):
            wrong += [f"{a} lies over the way of {b} at {n}" for a, b in lying_over(here, there)]
    return wrong


def lying_over(found: LayUp, going_on: set[str]) -> list[tuple[str, str]]:
    """(a wire that goes on, one that ends here and lies straight inside of it)."""
    layers = layer_of(found)
    lying = [spot for spot in spots(found) if spot.strand and layers[spot.strand.wires[0]] != FLAT]
    pairs = []
    for inner in (spot for spot in lying if spot.strand.wires[0] not in going_on):
        away = math.hypot(inner.x, inner.y)
        for outer in (spot for spot in lying if spot.strand.wires[0] in going_on):
            beyond = math.hypot(outer.x, outer.y) + outer.radius - away - inner.radius
            if math.hypot(outer.x, outer.y) <= away + 1e-6 or beyond <= outer.radius / 2:
                continue
            facing = away < 1e-9 or inner.x * outer.x + inner.y * outer.y > 0
            aside = abs(inner.x * outer.y - inner.y * outer.x) / away if away > 1e-9 else 0.0
            clear = NOT_A_MATTER_OF_TIGHTNESS * (inner.radius + outer.radius)
            if facing and aside < clear - 1e-6:
                pairs.append((outer.strand.wires[0], inner.strand.wires[0]))
    return pairs


STATIONS = 5
intervals = st.tuples(st.integers(0, STATIONS), st.integers(0, STATIONS)).filter(
    lambda pair: pair[0] < pair[1]
)

widths = st.sampled_from([1.6, 1.6, 1.9, 2.4, 4.5])


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(intervals, widths), min_size=2, max_size=30))
def test_no_wire_crosses_a_layer_wherever_strands_enter_and_leave(drawn) -> None:
    stays = [stay(str(n), *ends, width) for n, (ends, width) in enumerate(drawn)]
    assert crossings(stays, STATIONS) == []


def test_those_that_leave_first_lie_outermost_and_fillers_take_their_seats() -> None:
    """Seven go on, twelve leave half-way: one, six and twelve lie round each other (geometry)."""
    stays = [stay(f"far{n}", 0, 2) for n in range(7)] + [stay(f"near{n}", 0, 1) for n in range(12)]
    laying = lay_along(stays, [1.0, 1.0])
    both, last = lay_up_at(laying, 0), lay_up_at(laying, 1)
    assert [len(layer.strands) for layer in both.layers] == [1, 6, 12]
    assert [len(layer.strands) for layer in last.layers] == [1, 6]
    assert {w[:4] for w, layer in layer_of(both).items() if layer == "2"} == {"near"}
    assert [layer.hand for layer in both.layers] == ["", "right", "left"]
    assert last.outside_mm == pytest.approx(3 * 1.6, rel=0.03)


def test_a_seat_left_under_others_is_filled_and_one_with_nothing_over_it_is_not() -> None:
    """Four of six in the first ring leave at 1, where the twelve over them leave too."""
    stays = (
        [stay("core", 0, 2)]
        + [stay(f"a{n}", 0, 2) for n in range(2)]
        + [stay(f"b{n}", 0, 1) for n in range(4)]
        + [stay(f"c{n}", 0, 1) for n in range(12)]
    )
    laying = lay_along(stays, [1.0, 1.0])
    both, last = lay_up_at(laying, 0), lay_up_at(laying, 1)
    assert sum(len(layer.fillers_mm) for layer in both.layers) == 0
    assert [len(layer.fillers_mm) for layer in last.layers] == [0, 0]
    early = lay_along([*stays, *(stay(f"d{n}", 1, 2) for n in range(11))], [1.0, 1.0])
    inner = lay_up_at(early, 1)
    covered = inner.layers[:-1]
    assert all(len(layer.seats) == len(layer.strands) + len(layer.fillers_mm) for layer in covered)


def test_strands_that_overlap_share_a_layer_or_are_led_straight() -> None:
    """Each goes on where the next ends: none may lie over another (by the rule itself)."""
    stays = [stay(f"w{n}", n, n + 2) for n in range(4)]
    laying = lay_along(stays, [1.0] * 5)
    names = [layer_of(lay_up_at(laying, n)) for n in range(5)]
    twisted = {name for found in names for name in found.values()} - {FLAT}
    assert len(twisted) == 1
    assert crossings(stays, 5) == []


def test_what_cannot_be_had_in_layers_is_laid_flat_and_says_so() -> None:
    """Forty that all overlap each other have no room in one ring round nothing."""
    stays = [stay(f"w{n}", n % 20, n % 20 + 21) for n in range(40)]
    laying = lay_along(stays, [1.0] * 41)
    flat = sum(len(p.stays) for layer in laying.layers if layer.straight for p in layer.places)
    assert not laying.layers or 0 < flat <= MOST_FLAT * len(stays) + 1


def test_strands_all_the_way_lie_as_in_a_lay_up_of_their_own() -> None:
    strands = [Strand((str(n),), 1.6) for n in range(19)]
    laying = lay_along([Stay(s, 0, 3, 3.0) for s in strands], [1.0, 1.0, 1.0])
    assert lay_up_at(laying, 1).outside_mm == lay_up(strands).outside_mm


TREE = (
    m.run("r1", "P", "A", 0.5),
    m.run("r2", "A", "B", 0.4),
    m.run("r3", "C", "B", 0.3),
    m.run("a", "A", "a", 0.2),
    m.run("b", "b", "B", 0.2),
)
HELD = {"r1": tuple("12345"), "r2": tuple("2345"), "r3": tuple("45"), "a": ("1",), "b": ("3",)}


def lines_of(twisted: tuple[str, ...] = ("r1", "r2", "r3", "a", "b")) -> list[LayingLine]:
    runs = [replace(run, concentric=run.id in twisted) for run in TREE]
    wires = [
        m.wire(str(n), "c", m.end("x.1", point="P"), m.end(f"d.{n}", point=p))
        for n, p in enumerate("aBCC")
    ]
    return list(laying_lines(runs, HELD, wires))


def test_a_line_goes_on_where_most_of_its_wires_do_and_branches_begin_at_their_breakout() -> None:
    found = lines_of()
    assert [line.points for line in found] == [("P", "A", "B", "C"), ("A", "a"), ("B", "b")]
    assert found[0].at_m(2) == pytest.approx(0.9)
    assert [line.runs for line in found] == [("r1", "r2", "r3"), ("a",), ("b",)]


def test_a_run_that_is_not_twisted_cuts_the_line() -> None:
    assert [line.points for line in lines_of(("r1", "r3"))] == [("P", "A"), ("B", "C")]


def test_what_passes_through_the_root_is_one_line() -> None:
    wires = [m.wire(str(n), "c", m.end("x.1", point="A"), m.end(f"d.{n}", point="B")) for n in "12"]
    runs = [replace(run, concentric=True) for run in TREE]
    first = laying_lines(runs, HELD, wires)[0]
    assert set(first.points) >= {"P", "A", "B", "C"}
    assert all(len(set(pair)) == 2 for pair in combinations(first.points, 2))
