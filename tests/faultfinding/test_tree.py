"""Splitting suspects by readings, on readings made by hand."""

from __future__ import annotations

import numpy as np

from buildbook.faultfinding.faults import LIKELIHOOD, likeliest_first
from buildbook.faultfinding.model import Fault, Symptom
from buildbook.faultfinding.tree import Questions, follow, measure

CHAIN = ("fuse", "switch", "wire", "ground")
"""Four suspects in series: a node behind the broken one reads 0 V, one before it 12 V."""


def chain(takes_s=(20.0, 45.0, 45.0)) -> Questions:
    behind = [[0.0, 0.0, 0.0], [12.0, 0.0, 0.0], [12.0, 12.0, 0.0], [12.0, 12.0, 12.0]]
    return Questions(("A", "B", "C"), ("on",) * 3, np.array(takes_s), np.array(behind))


def symptom(steps) -> Symptom:
    return Symptom("x", "Lamp dead", "on", (), CHAIN, steps)


def test_the_first_step_halves_four_equal_suspects():
    steps = measure(CHAIN, np.ones(4), chain(takes_s=(45, 45, 45)))
    assert steps[0].node == "B"
    assert (set(steps[0].low), set(steps[0].high)) == ({"fuse", "switch"}, {"wire", "ground"})


def test_every_suspect_is_found_from_its_own_readings():
    questions = chain()
    found = symptom(measure(CHAIN, np.ones(4), questions))
    for row, suspect in enumerate(CHAIN):
        at = dict(zip(questions.nodes, questions.readings[row], strict=True))
        assert follow(found, lambda node, _state, at=at: at[node]) == (suspect,)


def test_steps_come_depth_first():
    steps = measure(CHAIN, np.ones(4), chain(takes_s=(45, 45, 45)))
    assert [s.node for s in steps] == ["B", "A", "C"]


def test_a_likely_suspect_is_parted_off_first():
    steps = measure(CHAIN, np.array([10.0, 1, 1, 1]), chain(takes_s=(45, 45, 45)))
    assert steps[0].low == ("fuse",)


def test_of_two_questions_that_split_alike_the_easier_is_probed():
    questions = Questions(
        ("plug", "fuse top"), ("on", "on"), np.array([45.0, 20.0]), np.array([[0.0, 0.0], [12, 12]])
    )
    (step,) = measure(("a", "b"), np.ones(2), questions)
    assert step.node == "fuse top"


def test_readings_less_than_half_a_volt_apart_are_not_told_apart():
    questions = Questions(("A",), ("on",), np.zeros(1), np.array([[12.0], [11.6]]))
    assert measure(("a", "b"), np.ones(2), questions) == ()


def test_expected_readings_part_the_groups_half_way():
    # The likeliest low reads 0 V, but half-way to 12 V would send the 7 V suspect astray.
    questions = Questions(("A",), ("on",), np.zeros(1), np.array([[0.0], [7.0], [12.0]]))
    steps = measure(("a", "b", "c"), np.array([1.0, 1.0, 2.0]), questions)
    assert (steps[0].low_v, steps[0].high_v) == (7.0, 12.0)
    assert (steps[0].low_range, steps[0].high_range) == ((0.0, 7.0), (12.0, 12.0))
    assert {*steps[0].low} == {"a", "b"}


def test_joints_and_grounds_come_before_fuses_before_relays_before_wires():
    kinds = ("wire", "contact", "fuse", "ground", "pin")
    faults = [Fault(f"open {kind}", kind, kind, kind) for kind in kinds]
    assert [f.kind for f in likeliest_first(faults)] == ["ground", "pin", "fuse", "contact", "wire"]
    assert LIKELIHOOD["ground"] == LIKELIHOOD["pin"]
