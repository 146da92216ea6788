"""Circle packing against best known packings, geometry and an independent optimiser."""

from __future__ import annotations

import math
import os
import random
import subprocess
import sys
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from buildbook.harness import packing
from buildbook.harness.packing import enclosing, pack

BEST_KNOWN = {
    1: 1.000,
    2: 2.000,
    3: 2.155,
    4: 2.414,
    5: 2.701,
    6: 3.000,
    7: 3.000,
    8: 3.304,
    9: 3.613,
    10: 3.813,
    11: 3.924,
    12: 4.029,
    13: 4.236,
    14: 4.328,
    15: 4.521,
    16: 4.615,
    17: 4.792,
    18: 4.863,
    19: 4.863,
    20: 5.122,
}
"""Radius of the smallest circle that holds n equal circles over the radius of one: best known
packings, proved for n up to 13 and 19 (Graham, Lubachevsky et al., 1998; memory)."""


def gap(radii: list[float], centres: tuple[tuple[float, float], ...]) -> float:
    """Clearance of the closest two; below zero where they overlap."""
    pairs = combinations(zip(radii, centres, strict=True), 2)
    return min((math.dist(p, q) - a - b for (a, p), (b, q) in pairs), default=0.0)


@pytest.mark.parametrize("count", BEST_KNOWN)
def test_equal_circles_come_within_3_percent_of_the_best_known(count: int) -> None:
    ratio = pack([1.0] * count).radius
    assert BEST_KNOWN[count] - 0.0006 <= ratio <= 1.03 * BEST_KNOWN[count]


@pytest.mark.parametrize("count", [1, 2, 7, 80, 300])
def test_any_number_packs_without_overlap_inside_its_round(count: int) -> None:
    radii = [(0.65, 0.8, 1.05)[n % 3] for n in range(count)]
    found = pack(radii)
    assert gap(radii, found.centres) > -1e-6
    reach = max(math.hypot(x, y) + r for r, (x, y) in zip(radii, found.centres, strict=True))
    assert reach <= found.radius + 1e-9
    # a crowd of like circles fills more than seven tenths
    assert {1: 0.99, 2: 0.4, 7: 0.5}.get(count, 0.7) < sum(r * r for r in radii) / reach**2 <= 1


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(0.4, 8.0), min_size=1, max_size=40))
def test_unlike_circles_never_overlap_nor_beat_their_area(radii: list[float]) -> None:
    found = pack(radii)
    assert gap(radii, found.centres) > -1e-4
    assert found.radius >= math.sqrt(sum(r * r for r in radii)) - 1e-4
    assert found.radius >= sum(sorted(radii)[-2:]) - 1e-4


def independent_radius(radii: list[float], chance: random.Random, starts: int) -> float:
    """Smallest round that sequential quadratic programming (scipy's SLSQP) finds."""
    r = np.array(radii)
    i, j = np.triu_indices(len(r), 1)

    def clear(v: np.ndarray) -> np.ndarray:
        x, y = v[:-1:2], v[1:-1:2]
        apart = (x[i] - x[j]) ** 2 + (y[i] - y[j]) ** 2 - (r[i] + r[j]) ** 2
        return np.concatenate([apart, (v[-1] - r) ** 2 - x**2 - y**2, v[-1] - r])

    best = math.inf
    for _ in range(starts):
        reach = 2 * math.sqrt(sum(r * r))
        v0 = [chance.uniform(-reach, reach) / 1.5 for _ in range(2 * len(r))] + [reach]
        found = minimize(
            lambda v: v[-1],
            v0,
            constraints={"type": "ineq", "fun": clear},
            method="SLSQP",
            options={"maxiter": 200},
        )
        if found.success and clear(found.x).min() > -1e-6:
            best = min(best, float(found.x[-1]))
    return best


@pytest.mark.parametrize("seed", range(5))
def test_unlike_circles_are_packed_as_tightly_as_an_independent_optimiser_does(seed: int) -> None:
    chance = random.Random(seed)
    radii = [chance.choice((0.6, 0.65, 0.8, 0.95, 1.2, 1.5)) for _ in range(chance.randint(4, 10))]
    judge = independent_radius(radii, chance, 4)
    assert math.isfinite(judge)
    assert pack(radii).radius <= 1.04 * judge


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(-9, 9), st.floats(-9, 9), st.floats(0.1, 5)), min_size=1, max_size=12
    )
)
def test_the_smallest_round_holds_all_and_is_not_beaten_by_a_search(circles: list) -> None:
    xy, r = np.array([c[:2] for c in circles]), np.array([c[2] for c in circles])

    def reach(middle: np.ndarray) -> float:
        return float(np.max(np.hypot(*(xy - middle).T) + r))

    middle, radius = enclosing(xy, r)
    assert reach(middle) <= radius + 1e-9
    searched = minimize(
        reach, xy.mean(axis=0), method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-9}
    )
    assert radius <= searched.fun + 1e-5


@pytest.mark.parametrize(("pushes", "rounds"), [(0, 0), (1, 1), (3, 2)])
@settings(max_examples=15, deadline=None)
@given(radii=st.lists(st.floats(0.4, 8.0), min_size=4, max_size=30))
def test_packing_that_is_stopped_early_is_wide_but_never_false(
    pushes: int, rounds: int, radii: list[float]
) -> None:
    ordered = tuple(sorted((round(r, 6) for r in radii), reverse=True))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(packing, "PUSHES", pushes)
        patch.setattr(packing, "FIRST_ROUNDS", rounds)
        patch.setattr(packing, "ROUNDS", rounds)
        radius, centres = packing._packed(ordered)
    assert gap(list(ordered), centres) > -1e-4
    reach = max(math.hypot(x, y) + r for r, (x, y) in zip(ordered, centres, strict=True))
    assert reach <= radius + 1e-9


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(-3, 3), st.integers(-3, 3), st.sampled_from([1.0, 1.0, 2.0])),
        min_size=1,
        max_size=60,
    )
)
def test_the_smallest_round_is_found_where_many_circles_touch_it_at_once(circles: list) -> None:
    xy, r = np.array([c[:2] for c in circles], float), np.array([c[2] for c in circles])
    middle, radius = enclosing(xy, r)
    assert float(np.max(np.hypot(*(xy - middle).T) + r)) <= radius + 1e-9
    # a round is the smallest if no step aside lowers its reach (the reach is convex)
    for turn in np.linspace(0, 2 * math.pi, 16, endpoint=False):
        aside = middle + 1e-4 * np.array([math.cos(turn), math.sin(turn)])
        assert float(np.max(np.hypot(*(xy - aside).T) + r)) >= radius - 1e-7


def test_processors_that_sum_in_another_order_find_the_same_arrangement() -> None:
    """OPENBLAS_CORETYPE chooses the code of another processor: last bits of its sums differ."""
    packed = (
        "from random import Random; from buildbook.harness.packing import pack; r = Random(5); "
        "print([repr(pack([r.uniform(0.5, 3) for _ in range(n)])) for n in (9, 14, 22)])"
    )
    found = {
        subprocess.run(
            [sys.executable, "-c", packed],
            env={**os.environ, "OPENBLAS_CORETYPE": kind},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for kind in ("Haswell", "Prescott", "SkylakeX")
    }
    assert len(found) == 1
