"""Sizes and lengths of a twisted rope take turns until neither alters the other."""

import math

import pytest

from buildbook.sizing import settle_lengths as turns
from buildbook.sizing.choose import choose
from buildbook.sizing.finished_runs import with_layer_lengths
from tests.checks import minimal as m
from tests.sizing.small import trailer, written


def twisted(**told):
    """Vehicle and harness of a trailer with a twisted rope, and first sizes for it."""
    description = trailer(**told)
    description["rope"]["main"]["layup"] = "concentric"
    vehicle, harness = written(description)
    return vehicle, harness, choose(vehicle, harness)[0]


@pytest.mark.parametrize("length_m", [2.4, 6.0])
def test_two_wires_are_laid_by_the_helix_that_they_make(length_m):
    # Two strands of diameter d: their middles run on a circle of d, the pair measures 2 d, one
    # turn is 12 times that (`LAY_TIMES`), so each metre takes sqrt(1 + (pi / 24)^2) of wire,
    # whatever its size; rounded up to 5 mm.
    vehicle, harness, first = twisted(length_m=length_m)
    more_m = length_m * (math.hypot(1, math.pi / 24) - 1)
    harness, _, _ = turns.settle_lengths(vehicle, harness, first)
    along = [w for w in harness.wires.values() if w.runs]
    assert len(along) == 2
    for wire in along:
        (lay,) = [part.length_m for part in wire.addends if part.kind == "lay"]
        assert more_m <= lay < more_m + 0.005


@pytest.mark.parametrize("others", [0, 5])
def test_lengths_are_those_of_the_sizes_and_sizes_those_of_the_lengths(others):
    vehicle, harness, first = twisted(others=others, length_m=4.0)
    harness, sizing, solved = turns.settle_lengths(vehicle, harness, first)
    assert with_layer_lengths(vehicle, harness, sizing, at_least=True) == harness
    again, same = choose(vehicle, harness, sizing, only_up_after=0)
    labels = {w: s.label for w, s in sizing.wires.items()}
    assert {w: s.label for w, s in again.wires.items()} == labels
    assert same == solved


LABELS = ("0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2")


@pytest.mark.parametrize("most", [1, 2, 3, 4])
def test_sizes_that_grow_with_every_laying_are_followed_to_the_end(monkeypatch, most):
    """A wire that wants its next size for each 10 mm more, and takes 10 mm more for each size."""

    def laid(length_m):
        return m.harness((m.wire("1", "feed", m.end("a.1"), m.end("b.1"), length_m),))

    def chosen(vehicle, harness, begin=None, only_up_after=4):
        place = round((harness.wires["1"].cut_m - 1.0) / 0.01)
        return m.sizing(m.sized("1", LABELS[min(place, most - 1)])), m.solved()

    def relaid(vehicle, harness, sizing, at_least=False):
        return laid(1.0 + 0.01 * (1 + LABELS.index(sizing.wires["1"].label)))

    monkeypatch.setattr(turns, "choose", chosen)
    monkeypatch.setattr(turns, "with_layer_lengths", relaid)
    harness, sizing, _ = turns.settle_lengths(m.vehicle(), laid(1.0), m.sizing())
    assert sizing.wires["1"].label == LABELS[most - 1]
    assert harness.wires["1"].cut_m == pytest.approx(1.0 + 0.01 * most)
