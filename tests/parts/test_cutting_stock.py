"""Cutting plans: every piece once, within its length, and as few new reels as there can be."""

from __future__ import annotations

import random
from functools import cache
from math import ceil

import numpy
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from buildbook.parts.cutting_stock import (
    KERF_M,
    CuttingPattern,
    best_cutting,
    first_fit,
    reels_by_halves,
)

INSTANCES = 500


@cache
def instances() -> tuple[tuple[list[float], float, list[float]], ...]:
    """Pieces, reel and owned lengths in m, such as a harness has: many short, a few long."""
    rng = random.Random(20260314)
    return tuple(
        (
            [round(rng.triangular(0.15, 5.0, 0.6), 3) for _ in range(rng.randint(1, 60))],
            rng.choice([5.0, 10.0, 25.0]),
            [round(rng.uniform(0.3, 8.0), 2) for _ in range(rng.choice([0, 0, 1, 3, 5]))],
        )
        for _ in range(INSTANCES)
    )


@cache
def plans():
    return tuple(best_cutting(*instance).patterns for instance in instances())


def new_reels(cuts: tuple[CuttingPattern, ...]) -> int:
    return sum(not cut.owned for cut in cuts)


def with_kerf(lengths: list[float]) -> list[float]:
    return [length + KERF_M for length in lengths]


def test_every_piece_is_cut_once_and_fits_with_its_kerf():
    for (pieces, _, owned), cuts in zip(instances(), plans(), strict=True):
        assert sorted(n for cut in cuts for n in cut.pieces) == list(range(len(pieces)))
        for cut in cuts:
            held = [pieces[n] for n in cut.pieces]
            assert sum(held) + KERF_M * (len(held) - 1) <= cut.length_m + 1e-9
            rest = cut.length_m - sum(held) - KERF_M * len(held)
            assert cut.left_m == pytest.approx(max(0.0, rest))
        used = sorted(cut.length_m for cut in cuts if cut.owned)
        assert all(used.count(x) <= owned.count(x) for x in used)


def test_never_more_reels_than_first_fit_decreasing():
    for (pieces, reel, owned), cuts in zip(instances(), plans(), strict=True):
        held = first_fit(
            with_kerf(sorted(pieces, reverse=True)), with_kerf(sorted(owned)), reel + KERF_M
        )
        assert new_reels(cuts) <= sum(bool(pieces) for pieces in held[len(owned) :])


def test_within_one_reel_of_the_continuous_bound_in_95_of_a_hundred():
    near = 0
    for (pieces, reel, owned), cuts in zip(instances(), plans(), strict=True):
        room = sum(with_kerf(pieces)) - sum(with_kerf(owned))
        near += new_reels(cuts) <= max(0, ceil(room / (reel + KERF_M))) + 1
    assert near >= 0.95 * INSTANCES


def patterns(sizes: list[float], room: float) -> list[tuple[int, ...]]:
    """Every set of pieces that fits into a length."""
    found: list[tuple[int, ...]] = []

    def extend(start: int, chosen: tuple[int, ...], left: float) -> None:
        fits = [n for n in range(start, len(sizes)) if sizes[n] <= left + 1e-9]
        if chosen:
            found.append(chosen)
        for n in fits:
            extend(n + 1, (*chosen, n), left - sizes[n])

    extend(0, (), room)
    return found


def least_reels(pieces: list[float], reel: float, owned: list[float]) -> int:
    """The optimum of the set partition over all sets that fit (an exact integer programme)."""
    sizes = with_kerf(pieces)
    columns = [(None, held) for held in patterns(sizes, reel + KERF_M)]
    for k, length in enumerate(owned):
        columns += [(k, held) for held in patterns(sizes, length + KERF_M)]
    once = numpy.zeros((len(sizes) + len(owned), len(columns)))
    for c, (k, held) in enumerate(columns):
        once[list(held), c] = 1
        if k is not None:
            once[len(sizes) + k, c] = 1
    low = [1.0] * len(sizes) + [0.0] * len(owned)
    costs = [1.0 if k is None else 0.0 for k, _ in columns]
    found = milp(
        costs,
        integrality=[1] * len(columns),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(once, low, 1.0),
    )
    assert found.status == 0
    return round(found.fun)


@pytest.mark.parametrize("seed", range(30))
def test_up_to_twenty_pieces_take_as_few_reels_as_an_exact_integer_programme(seed):
    rng = random.Random(seed)
    reel = rng.choice([2.0, 3.0])
    pieces = [round(rng.uniform(0.4, reel), 3) for _ in range(rng.randint(6, 20))]
    owned = [round(rng.uniform(0.5, 2.5), 2) for _ in range(rng.choice([0, 1, 2]))]
    found = best_cutting(pieces, reel, owned)
    assert found.fewest
    assert new_reels(found.patterns) == least_reels(pieces, reel, owned)


def test_a_piece_longer_than_every_length_cannot_be_cut():
    assert best_cutting([6.2], 5.0) is None
    assert best_cutting([6.2], 5.0, [7.0]) is not None


def test_a_piece_as_long_as_its_reel_needs_no_cut():
    (cut,) = best_cutting([5.0], 5.0).patterns
    assert cut.left_m == 0.0


def test_the_kerf_takes_a_reel_more():
    assert new_reels(best_cutting([2.5, 2.5], 5.0).patterns) == 2
    assert new_reels(best_cutting([2.5, 2.498], 5.0).patterns) == 1


def test_owned_lengths_are_used_before_a_new_reel():
    cuts = best_cutting([1.0, 2.0], 10.0, [2.2, 1.1]).patterns
    assert [(cut.owned, cut.length_m) for cut in cuts] == [(True, 1.1), (True, 2.2)]


@pytest.mark.parametrize(
    ("sizes", "reels"),
    [
        # Over half a reel each, so on three reels; what is left of them takes the short one.
        ((0.6, 0.6, 0.6, 0.3), 3),
        # Beside 0.6 fits 0.4 of the 1.5 that are left: two reels more.
        ((0.6, 0.5, 0.5, 0.5), 3),
        # Beside 0.9 not even the 0.2 fits, though all of it is as long as two reels.
        ((0.9, 0.9, 0.2), 3),
        # Halves fit two and two.
        ((0.5, 0.5, 0.5, 0.5), 2),
        ((), 0),
    ],
)
def test_pieces_over_half_a_reel_never_share_one(sizes, reels):
    """Reels of 1 m; each case on paper."""
    assert reels_by_halves(sizes, 1.0) == reels


def test_each_piece_goes_into_the_first_length_that_takes_it():
    """5 opens a reel of 6, 4 fills what is owned, 3 opens another, which takes the 2 and not the
    last 1.5; that opens a third. 7 goes nowhere."""
    assert first_fit([5, 4, 3, 2, 1.5], [4], 6) == [[1], [0], [2, 3], [4]]
    assert first_fit([7], [4], 6) is None
    assert first_fit([7], [4, 7], 6) == [[], [0]]
