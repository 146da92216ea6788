"""Steps of circle packing against plane geometry: tangents, piles, pushes and smallest rounds."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from buildbook.harness.packing import (
    _apart,
    _beside,
    _free,
    _nearest,
    _pile,
    _pushed,
    _resting,
    _roots,
    _slope,
    _spiral,
    _spirals,
    _squeezed,
    _touching,
    enclosing,
    pack,
    piled_on,
)


def test_roots_of_a_parabola_and_of_a_line() -> None:
    assert _roots(1, -4, 3) == (1, 3)  # (x - 1) (x - 3)
    assert _roots(2, 4, 2) == (-1, -1)
    assert _roots(1, 0, 1) == ()
    assert _roots(0, 2, -6) == (3,) and _roots(1e-13, 4, 2) == (-0.5,)
    assert _roots(0, 0, 5) == ()
    # not quite a line: 1e-9 x x + x - 1 has one root near 1
    assert max(_roots(1e-9, 1, -1)) == pytest.approx(1.0, abs=1e-6)


def test_two_circles_rest_in_the_round_across_both_or_in_the_larger_that_holds_the_other() -> None:
    # from -1 to 8 along a line that is turned by 3, 4, 5
    ((x, y, radius),) = _touching([(0, 0, 1), (3, 4, 3)])
    assert (x, y, radius) == pytest.approx((0.6 * 3.5, 0.8 * 3.5, 4.5))
    assert _touching([(0, 0, 1), (0.5, 0, 3)]) == [(0.5, 0, 3)]
    assert _touching([(0, 0, 3), (2, 0, 1)]) == [(0, 0, 3)], "it touches from inside"
    assert _touching([(1, 1, 2), (1, 1, 2)]) == [(1, 1, 2)]


def test_three_circles_rest_in_the_round_of_apollonius() -> None:
    # three of radius 1 that touch: 1 + 2 / sqrt(3), about their middle
    three = [(0.0, 0.0, 1.0), (2.0, 0.0, 1.0), (1.0, math.sqrt(3), 1.0)]
    ((x, y, radius),) = _touching(three)
    assert (x, y, radius) == pytest.approx((1.0, 1 / math.sqrt(3), 1 + 2 / math.sqrt(3)))
    # points on a circle about (5, -2) with radius 13
    ((x, y, radius),) = _touching([(10, 10, 0), (17, 3, 0), (-8, -2, 0)])
    assert (x, y, radius) == pytest.approx((5, -2, 13))
    assert _touching([(0, 0, 1), (3, 0, 1), (9, 0, 1)]) == [], "in a row no round touches all"


places = st.tuples(st.floats(-9, 9), st.floats(-9, 9), st.floats(0.1, 3))


@settings(max_examples=60, deadline=None)
@given(st.lists(places, min_size=3, max_size=3))
def test_whatever_rests_on_three_touches_all_of_them_from_inside(circles: list) -> None:
    (x0, y0, _), (x1, y1, _), (x2, y2, _) = circles
    assume(abs((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)) > 1)
    for x, y, radius in _touching(circles):
        for cx, cy, r in circles:
            assert math.hypot(cx - x, cy - y) + r == pytest.approx(radius, rel=1e-5, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(
    st.tuples(st.floats(-9, 9), st.floats(-9, 9), st.floats(4, 20)),
    st.lists(st.tuples(st.floats(0.3, 1.7), st.floats(0.1, 3)), min_size=3, max_size=3),
)
def test_the_round_in_which_three_were_laid_is_found_again(round_, laid) -> None:
    """Each third of the round holds one circle that touches it from inside."""
    x, y, radius = round_
    circles = []
    for n, (turn, r) in enumerate(laid):
        at = turn + n * 2 * math.pi / 3
        away = radius - r
        circles.append((x + away * math.cos(at), y + away * math.sin(at), r))
    assert any(
        found == pytest.approx((x, y, radius), rel=1e-5, abs=1e-5) for found in _touching(circles)
    )


def test_the_smallest_round_rests_on_as_few_as_hold_it() -> None:
    circles = {1: (0.0, 0.0, 1.0), 2: (10.0, 0.0, 1.0), 3: (5.0, 5.0, 0.5), 7: (5.0, 0.0, 2.0)}
    found = _resting(circles, 1)
    # across the two it is 6 about (5, 0), which holds the third, at 5 and half a radius
    assert found is not None and sorted(found[0]) == [1, 2]
    assert found[1:] == pytest.approx((5.0, 0.0, 6.0))
    high = circles | {3: (5.0, 6.0, 0.5)}
    found = _resting(high, 3)
    assert found is not None and sorted(found[0]) == [1, 2, 3]
    assert all(
        math.hypot(x - found[1], y - found[2]) + r <= found[3] + 1e-9 for x, y, r in high.values()
    )
    assert _resting({1: (0.0, 0.0, 1.0), 2: (0.2, 0.0, 5.0)}, 1) == ([1, 2], 0.2, 0.0, 5.0)
    assert _resting({1: (0.0, 0.0, 1.0)}, 1) is None


def test_one_circle_is_its_own_round_wherever_it_lies() -> None:
    middle, radius = enclosing(np.array([[3.0, -4.0]]), np.array([2.0]))
    assert (*middle, radius) == (3.0, -4.0, 2.0)
    assert pack([]).centres == () and pack([]).radius == 0.0
    assert pack([2.5]).centres == ((0.0, 0.0),)


def test_what_lies_beside_two_circles_touches_both_on_either_side() -> None:
    # two of radius 3 at 0 and 8, one of radius 2: 3-4-5 triangles above and below the middle
    x, y, r = np.array([0.0, 8.0, 20.0]), np.array([0.0, 0.0, 0.0]), np.array([3.0, 3.0, 3.0])
    found = _beside(1, x, y, r, 2.0, 1)
    assert sorted(map(tuple, found.round(9))) == [(4.0, -3.0), (4.0, 3.0)]
    # just as far as it is wide it fits between them; a hair farther it touches but one
    assert _beside(1, x * 1.25, y, r, 2.0, 1).round(6).tolist() == [[5.0, 0.0], [5.0, 0.0]]
    assert len(_beside(1, x * 1.26, y, r, 2.0, 1)) == 0
    # the third touches neither
    assert len(_beside(2, x, y, r, 2.0, 2)) == 0
    # one that lies deep inside another: no place touches both
    assert len(_beside(1, np.array([0.0, 1.0]), np.zeros(2), np.array([9.0, 1.0]), 2.0, 1)) == 0


@settings(max_examples=40, deadline=None)
@given(st.floats(0.5, 4), st.floats(0.5, 4), st.floats(0.3, 3), st.floats(0, 6), st.floats(-3, 3))
def test_beside_unlike_circles_both_distances_are_those_of_touching(
    a, b, radius, more, turn
) -> None:
    gap = a + b + min(more, 2 * radius) * 0.99
    x, y = (
        np.array([1.0, 1.0 + gap * math.cos(turn)]),
        np.array([-2.0, -2.0 + gap * math.sin(turn)]),
    )
    spots = _beside(1, x, y, np.array([a, b]), radius, 1)
    assert len(spots) == 2
    for px, py in spots:
        assert math.hypot(px - x[0], py - y[0]) == pytest.approx(a + radius, rel=1e-7)
        assert math.hypot(px - x[1], py - y[1]) == pytest.approx(b + radius, rel=1e-7)
    assert math.dist(*spots) > 0


def test_free_spots_keep_their_reach_of_every_circle() -> None:
    spots = np.array([[0.0, 3.0], [4.0, 0.0], [0.0, 2.9]])
    x, y = np.array([0.0, 4.0]), np.array([0.0, 2.0])
    assert _free(spots, x, y, np.array([3.0, 2.0])).tolist() == [[0.0, 3.0], [4.0, 0.0]]
    assert _free(spots, x, y, np.array([3.0, 2.1])).tolist() == [[0.0, 3.0]]


def test_the_nearest_spot_is_counted_from_the_common_centre_of_area() -> None:
    # areas 9 and 1 at 0 and 10: their centre is at 1
    x, y, r = np.array([0.0, 10.0]), np.array([0.0, 0.0]), np.array([3.0, 1.0])
    assert _nearest(np.array([[5.0, 0.0], [1.0, 3.5], [-2.0, 0.0]]), x, y, r) == (-2.0, 0.0)
    # of equals the leftmost, so that the same wires are always laid the same
    assert _nearest(np.array([[3.0, 0.0], [-1.0, 0.0], [1.0, 2.0]]), x, y, r) == (-1.0, 0.0)
    assert _nearest(np.array([[1.0, 2.0], [1.0, -2.0]]), x, y, r) == (1.0, -2.0)


@pytest.mark.parametrize("radii", [[1.0] * 12, [3.0, 2.0, 2.0, 1.0, 1.0, 1.0, 0.5], [4.0, 1.0]])
def test_in_a_pile_each_touches_two_that_lay_before_and_overlaps_none(radii: list[float]) -> None:
    centres = _pile(np.array(radii))
    lying = list(zip(radii, map(tuple, centres), strict=True))
    gaps = {
        frozenset((i, j)): math.dist(p, q) - a - b
        for (i, (a, p)), (j, (b, q)) in combinations(enumerate(lying), 2)
    }
    assert min(gaps.values()) > -1e-6
    for n in range(1, len(radii)):
        touching = sum(gaps[frozenset((n, before))] < 1e-6 for before in range(n))
        assert touching >= min(n, 2), n
    assert tuple(centres[0]) == (0.0, 0.0) and tuple(centres[1]) == (radii[0] + radii[1], 0.0)


def test_seven_alike_are_piled_as_a_hexagon_about_the_middle_one() -> None:
    centres = _pile(np.ones(7))
    away = sorted(round(math.dist(p, q), 6) for p, q in combinations(map(tuple, centres), 2))
    # six at 2 from the middle and six sides of 2; six short diagonals; three long ones (geometry)
    assert away == pytest.approx([2.0] * 12 + [2 * math.sqrt(3)] * 6 + [4.0] * 3, abs=1e-5)


def test_points_of_a_spiral_are_turned_by_the_golden_angle_and_share_out_its_area() -> None:
    r = np.array([2.0, 1.0, 1.0, 1.0, 1.0])
    for hollow in (0.0, 0.5):
        points = _spiral(r, hollow)
        square = (points**2).sum(axis=1)
        assert square[-1] == pytest.approx(2 * 8.0), "twice the area of the circles"
        assert np.diff(square) == pytest.approx([square[-1] / (4 + hollow)] * 4)
        turned = np.unwrap(np.arctan2(points[1:, 1], points[1:, 0]))
        golden = math.pi * (3 - math.sqrt(5))
        assert np.diff(turned) % (2 * math.pi) == pytest.approx([golden] * 3, abs=1e-9)
    assert tuple(_spiral(r, 0.0)[0]) == (0.0, 0.0)


def test_few_are_begun_in_five_ways_and_more_in_one() -> None:
    r = np.linspace(2.0, 1.0, 24)
    starts = _spirals(r)
    assert len(starts) == 5 and len(_spirals(np.linspace(2.0, 1.0, 25))) == 1
    assert len({tuple(map(tuple, xy.round(9))) for xy in starts}) == 5
    away = [np.hypot(*xy.T) for xy in starts]
    assert all(np.all(np.diff(one) > 0) for one in away[:3]), "the thickest in the middle"
    assert np.all(np.diff(away[3]) < 0), "the thinnest in the middle"
    # mixed: the inner half is about as thick as the outer one, by a spiral's order 1.7 to 1.3
    inner = np.argsort(away[4])[:12]
    assert r[inner].mean() == pytest.approx(1.5, abs=0.05)


def energy(z: np.ndarray, reach: np.ndarray, room: np.ndarray) -> float:
    """Squares of how far circles overlap, each pair once, and of how far they stand out."""
    own = sum(max(abs(p) - limit, 0.0) ** 2 for p, limit in zip(z, room, strict=True))
    pairs = combinations(range(len(z)), 2)
    return own + sum(max(reach[i, j] - abs(z[i] - z[j]), 0.0) ** 2 for i, j in pairs)


def test_circles_are_pushed_down_the_slope_of_their_overlap() -> None:
    """The gradient by differences of the energy itself, for two arrangements side by side."""
    r = np.array([2.0, 1.5, 1.0, 1.0])
    reach = r[:, None] + r
    np.fill_diagonal(reach, -1.0)
    z = np.array([[0.2 + 0.1j, 1.5 - 0.3j, -1.0 + 2.0j, 3.5 + 0.5j], [0j, 2.0, 2.0j, -9.0 - 1j]])
    room = np.array([[4.0], [6.0]]) - r
    slope = _slope(z, reach, room)
    for n in range(2):
        for at in range(4):
            step = np.zeros(4, complex)
            for part, unit in ((slope[n, at].real, 1e-6), (slope[n, at].imag, 1e-6j)):
                step[at] = unit
                ahead, behind = (energy(z[n] + s * step, reach, room[n]) for s in (1, -1))
                assert part == pytest.approx((ahead - behind) / 2e-6, abs=1e-4)


def test_what_overlaps_is_pushed_apart_and_what_stands_out_is_pushed_in() -> None:
    r = np.array([1.0, 1.0])
    near = np.array([[-0.5, 0.0], [0.5, 0.0]])
    wide = np.array([[0.0, -4.0], [0.0, 4.0]])
    apart, drawn = _pushed([near, wide], r, [3.0, 2.5])
    assert apart == pytest.approx(np.array([[-1.0, 0.0], [1.0, 0.0]]), abs=1e-5)
    assert drawn == pytest.approx(np.array([[0.0, -1.5], [0.0, 1.5]]), abs=1e-5)
    # what neither overlaps nor stands out stays where it is
    (still,) = _pushed([wide], r, [5.0])
    assert still == pytest.approx(wide)


def test_spreading_makes_the_closest_touch_and_puts_the_round_about_the_origin() -> None:
    r = np.array([2.0, 1.0, 1.0])
    radius, xy = _apart(np.array([[5.0, 5.0], [6.0, 5.0], [5.0, 9.0]]), r)
    # the two that were 1 apart come to 3: all is three times as far
    assert np.diff(xy, axis=0) == pytest.approx(np.array([[3.0, 0.0], [-3.0, 12.0]]))
    assert radius == pytest.approx(float(np.max(np.hypot(*xy.T) + r)))
    assert _apart(np.array([[7.0, 7.0]]), np.array([2.0]))[0] == 2.0
    # what lies far apart is drawn in
    assert _apart(np.array([[0.0, 0.0], [40.0, 0.0]]), np.array([1.0, 3.0]))[0] == pytest.approx(
        4.0
    )


def test_a_squeeze_ends_in_a_real_arrangement_no_wider_than_it_began() -> None:
    r = np.ones(7)
    row = np.column_stack([2.0 * np.arange(7), np.zeros(7)])
    before = _squeezed([row], r, 0)[0][0]
    assert before == pytest.approx(7.0), "seven in a row"
    for rounds in (1, 3, 6):
        ((radius, xy),) = _squeezed([row + 0.01 * np.sin(7 * row[:, ::-1] + row)], r, rounds)
        assert min(math.dist(p, q) for p, q in combinations(map(tuple, xy), 2)) >= 2 - 1e-7
        assert np.max(np.hypot(*xy.T) + 1) == pytest.approx(radius)
        assert 3.0 - 1e-9 <= radius <= before
    # three have one tight arrangement; nothing is tried
    assert _squeezed([row[:3]], r[:3], 4)[0][0] == pytest.approx(3.0)


def test_six_go_round_one_clockwise_from_the_top() -> None:
    found = piled_on(1.0, [1.0] * 6, lambda n, x, y: True)
    hexagon = [(2 * math.sin(n * math.pi / 3), 2 * math.cos(n * math.pi / 3)) for n in range(6)]
    assert found is not None and np.array(found) == pytest.approx(np.array(hexagon), abs=1e-5)
    # the seventh has no place in the ring and lies in a valley of two
    more = piled_on(1.0, [1.0] * 7, lambda n, x, y: True)
    assert more is not None and math.hypot(*more[-1]) == pytest.approx(2 * math.sqrt(3))


def test_a_place_that_is_refused_is_passed_over_for_the_next_farther_out() -> None:
    asked: list[int] = []

    def left_half(n: int, x: float, y: float) -> bool:
        asked.append(n)
        return x <= 1e-9

    found = piled_on(2.0, [1.0, 1.0, 0.5], left_half)
    assert found is not None and all(x <= 1e-9 for x, _ in found)
    assert found[0] == (0.0, 3.0) and set(asked) == {0, 1, 2}
    # beside the first on the core: chord 2 of a circle of radius 3
    turn = 2 * math.asin(1 / 3)
    assert found[1] == pytest.approx((-3 * math.sin(turn), 3 * math.cos(turn)))
    assert piled_on(2.0, [1.0, 1.0], lambda n, x, y: n == 0) is None
    assert piled_on(2.0, [], left_half) == []
