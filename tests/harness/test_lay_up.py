"""Concentric lay-up: layers against geometry, lengths against integration, who lies where."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from buildbook.harness.breakout_order import near_ends, onward, root_of
from buildbook.harness.cables import strands
from buildbook.harness.finishing import lay_ups, turns
from buildbook.harness.laid_lines import laid_lines
from buildbook.harness.lay_up import (
    LAY_TIMES,
    MOST_IN_CORE,
    Layer,
    LayUp,
    Strand,
    lay_up,
    spots,
    take_up,
)
from buildbook.sizing.finished_runs import outside_mm
from tests.checks import minimal as m


def alike(count: int, diameter_mm: float = 1.6) -> list[Strand]:
    return [Strand((str(n),), diameter_mm) for n in range(count)]


def counts(found: LayUp) -> list[int]:
    return [len(layer.strands) for layer in found.layers]


@pytest.mark.parametrize("layers", [1, 2, 3, 4, 5, 6])
def test_round_one_wire_lie_six_more_in_every_layer(layers: int) -> None:
    # 1, 6, 12, 18, … equal wires; diameter over wire 1, 3, 5, 7, … (geometry)
    full = [1, *(6 * n for n in range(1, layers))]
    found = lay_up(alike(sum(full)))
    assert counts(found) == full
    assert found.outside_mm / 1.6 == pytest.approx(2 * layers - 1)
    assert all(layer.fillers_mm == () for layer in found.layers)


def test_one_more_than_a_full_layer_does_not_go_in_it() -> None:
    # n circles of diameter 1 on a circle of diameter d need sin(pi / n) >= 1 / d (geometry)
    for full, pitch in ((6, 2), (12, 4), (18, 6), (24, 8)):
        assert math.sin(math.pi / full) * pitch >= 1 - 1e-9
    assert len(lay_up(alike(20)).layers[-1].strands) < 13


@pytest.mark.parametrize(
    ("count", "core", "ratio"),
    [
        (2, 2, 2.0),
        (3, 3, 1 + 2 / math.sqrt(3)),
        (4, 4, 1 + math.sqrt(2)),
        (10, 2, 4.0),
        (12, 3, 3 + 2 / math.sqrt(3)),
        (14, 4, 3 + math.sqrt(2)),
    ],
)
def test_core_of_two_three_or_four_where_that_is_thinner(count, core, ratio) -> None:
    """Lays of 2+8, 3+9 and 4+10: the core's round (geometry) and one layer of wire about it."""
    found = lay_up(alike(count, 1.0))
    assert counts(found)[0] == core
    assert found.outside_mm == pytest.approx(ratio, rel=1e-4)


def test_layers_turn_each_the_other_way_and_the_outer_lays_are_longer() -> None:
    found = lay_up(alike(61))
    hands = [layer.hand for layer in found.layers]
    assert hands[0] == "" and found.layers[0].lay_mm == 0
    assert all({a, b} == {"right", "left"} for a, b in pairwise(hands[1:]))
    for layer in found.layers[1:]:
        assert layer.lay_mm == pytest.approx(LAY_TIMES * layer.outside_mm)


def test_a_ring_that_does_not_close_is_filled() -> None:
    last = lay_up(alike(18)).layers[-1]
    # eleven of the twelve that go round seven (geometry)
    assert (len(last.strands), last.fillers_mm) == (11, (1.6,))


@pytest.mark.parametrize(("lay", "pitch"), [(20.0, 5.0), (60.0, 4.0), (134.0, 11.3), (50.0, 0.0)])
def test_take_up_is_the_length_of_the_helix_by_integration(lay: float, pitch: float) -> None:
    def speed(t: float) -> float:
        across = pitch / 2 * 2 * math.pi
        return math.sqrt((across * math.sin(t)) ** 2 + (across * math.cos(t)) ** 2 + lay**2)

    length, _ = quad(speed, 0, 1)
    assert take_up(lay, pitch) == pytest.approx(length / lay, rel=1e-9)
    t = np.linspace(0, 2 * math.pi, 20001)
    xyz = np.column_stack([pitch / 2 * np.cos(t), pitch / 2 * np.sin(t), lay * t / (2 * math.pi)])
    chords = np.sqrt((np.diff(xyz, axis=0) ** 2).sum(axis=1)).sum()
    assert take_up(lay, pitch) == pytest.approx(chords / lay, rel=1e-6)


def test_nothing_is_taken_up_where_nothing_turns() -> None:
    assert take_up(0.0, 8.0) == 1.0
    assert turns(lay_up(alike(1))) == {"0": 1.0}
    found = turns(lay_up(alike(7)))
    # the one in the middle is straight, six on a pitch of 2 d turn once in 36 d (geometry)
    assert found["0"] == 1.0
    assert found["6"] == pytest.approx(math.sqrt(1 + (math.pi * 2 / 36) ** 2))


def wires_of(layers: Iterable[Layer]) -> tuple[str, ...]:
    """Wire ids from the middle outwards."""
    return tuple(w for layer in layers for strand in layer.strands for w in strand.wires)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(1.1, 5.0), min_size=1, max_size=30))
def test_any_strands_are_all_laid_in_order_without_overlap(diameters: list[float]) -> None:
    given_ = [Strand((str(n),), d) for n, d in enumerate(sorted(diameters, reverse=True))]
    found = lay_up(given_)
    assert wires_of(found.layers) == tuple(str(n) for n in range(len(given_)))
    assert found.outside_mm >= math.sqrt(sum(d * d for d in diameters)) - 1e-4
    for a, b in combinations(spots(found), 2):
        assert math.hypot(a.x - b.x, a.y - b.y) >= (a.radius + b.radius) * 0.999
    if max(diameters) < 1.3 * min(diameters):
        assert len(found.layers[0].strands) <= MOST_IN_CORE


TREE = (
    m.run("r1", "P", "A", 0.5),
    m.run("r2", "A", "B", 0.4),
    m.run("r3", "B", "C", 0.3),
    m.run("a", "A", "a", 0.2),
    m.run("b", "B", "b", 0.2),
)
"""A trunk from P by A and B to C with a branch at A and at B."""
HELD = {
    "r1": ("1", "2", "3", "4", "5"),
    "r2": ("2", "3", "4", "5"),
    "r3": ("4", "5", "2"),
    "a": ("1",),
    "b": ("3",),
}


def test_runs_go_on_from_the_root_and_know_their_nearer_end() -> None:
    assert onward(TREE, "P")["r1"] == ("r2", "a")
    assert near_ends(TREE, "B") == {"r1": "A", "r2": "B", "r3": "B", "a": "A", "b": "B"}


def test_the_lay_up_begins_where_most_wires_end() -> None:
    wires = [
        m.wire(str(n), "c", m.end("x.1", point="C"), m.end(f"d.{n}", point=p))
        for n, p in enumerate(("A", "B", "P"))
    ]
    assert root_of(TREE, wires) == "C"


def test_a_pair_is_laid_as_one_strand() -> None:
    wires = [
        m.wire("1", "h", m.end("a.1"), m.end("b.1"), cable="bus"),
        m.wire("2", "l", m.end("a.2"), m.end("b.2"), cable="bus"),
        m.wire("3", "f", m.end("a.3"), m.end("b.3")),
    ]
    found = strands(wires, {"1": 1.6, "2": 1.6, "3": 2.1}, {"bus": "twisted pair"})
    assert found == (Strand(("1", "2"), 3.2), Strand(("3",), 2.1))


def test_every_twisted_piece_of_the_example_is_laid_by_the_rules(lapwing) -> None:
    od = outside_mm(lapwing.vehicle, lapwing.sizing)
    found = lay_ups(lapwing.vehicle, lapwing.harness, od)
    assert len(found) > 20
    for run, laid in found.items():
        wires = lapwing.harness.bundles[run].wires
        assert sorted(wires_of(laid.layers)) == sorted(wires)
        for layer in laid.layers:
            for strand in layer.strands:
                cables = {lapwing.harness.wires[w].cable for w in strand.wires}
                assert len(cables) == 1 and ("" not in cables or len(strand.wires) == 1)
    for cable in lapwing.vehicle.description.cables:
        for run in found:
            mine = [
                w
                for w in lapwing.harness.bundles[run].wires
                if lapwing.harness.wires[w].cable == cable
            ]
            holders = [
                s for layer in found[run].layers for s in layer.strands if set(s.wires) & set(mine)
            ]
            assert len(holders) == bool(mine)


def test_no_wire_of_the_example_lies_in_a_layer_over_one_that_leaves_before_it(lapwing) -> None:
    od = outside_mm(lapwing.vehicle, lapwing.sizing)
    compared = 0
    for line in laid_lines(lapwing.vehicle, lapwing.harness, od, "engine"):
        for run, laid in line.lay_ups(lapwing.harness).items():
            at = line.line.runs.index(run) + 1
            leaves = {w: stay.leaves for stay in line.stays for w in stay.strand.wires}
            for inner, outer in combinations(laid.layers, 2):
                gone = [leaves[w] for w in wires_of([inner]) if leaves[w] == at]
                passing = [leaves[w] for w in wires_of([outer]) if leaves[w] > at]
                assert not (gone and passing), run
                compared += 1
    assert compared >= 5


def test_cut_lengths_of_the_example_hold_what_each_layer_takes_up(lapwing) -> None:
    """Within 10 mm above what the layers that the wire lies in take up; never short of it."""
    length = {run.id: run.length_m for run in lapwing.vehicle.runs}
    along = {id_: turns(piece.lay_up) for id_, piece in lapwing.finished_runs.items()}
    seen = 0
    for wire in lapwing.harness.wires.values():
        wanted = sum(length[run] * (along[run].get(wire.id, 1.0) - 1) for run in wire.runs)
        lay = sum(part.length_m for part in wire.addends if part.kind == "lay")
        assert wanted - 1e-6 <= lay <= wanted + 0.010, wire.id
        seen += lay > 0
    assert seen > 30
