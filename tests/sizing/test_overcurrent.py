"""Wires held against their fuses at far more overcurrents than sizing looks at."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.catalogue.load import fuse_families, wire_families
from buildbook.sizing.ampacity import free_air_a
from buildbook.sizing.installation import Candidate
from buildbook.sizing.opening_time import slowest_s
from buildbook.sizing.overcurrent import (
    ANY_A,
    Temperatures,
    fails_at,
    largest_fuse,
    outlasts,
    overcurrents,
)
from buildbook.sizing.transient_heating import time_to_s
from tests.sizing.fuses import ROUND

BLADE = fuse_families()["blade"]
FAMILY = wire_families()["thin-wall"]
THIN = [Candidate(FAMILY, c) for c in FAMILY.conductors]


def half():
    return next(c for c in THIN if c.area_mm2 == 0.5)


def harmed_somewhere(candidate, heat, fuse, rating_a, top, steps=3000):
    """Whether any of very many overcurrents harms the wire before the fuse is sure to open."""
    family = candidate.family
    first = next(m for m, _, longest in fuse.bands if longest is not None)
    hold_a = free_air_a(candidate.conductor, family.aging_c, heat.ambient_c)
    if min(first, top) * rating_a > hold_a * 1.0001:
        return True
    marks = [first * (top / first) ** (i / steps) for i in range(steps + 1)] if top > first else []
    return any(
        time_to_s(
            candidate.conductor, m * rating_a, family.overload_c, heat.ambient_c, heat.start_c
        )
        < slowest_s(fuse, rating_a, m * rating_a)
        for m in marks
    )


@pytest.mark.parametrize("candidate", THIN[::2], ids=lambda c: c.label)
@pytest.mark.parametrize("kind", ["blade", "maxi", "bolted"])
def test_nothing_between_the_points_of_a_band_harms_the_wire(candidate, kind):
    fuse, heat = fuse_families()[kind], Temperatures(40.0, 60.0)
    found = largest_fuse(candidate, heat, fuse)
    assert not harmed_somewhere(candidate, heat, fuse, found.rating_a * 0.9999, 60.0)
    assert harmed_somewhere(candidate, heat, fuse, found.rating_a * 1.06, 60.0)


def test_a_current_between_two_points_of_the_band_can_decide():
    found = largest_fuse(half(), Temperatures(50.0, 50.0), BLADE)
    assert 1.60 < found.multiple < 2.00
    assert found.opens_s < 50.0
    assert found.harms_a == pytest.approx(found.rating_a * found.multiple)


def test_what_a_fuse_may_hold_for_ever_the_wire_must_too():
    # just under the first point that bounds it the fuse may hold for ever
    hot = Temperatures(90.0, 90.0)
    found = largest_fuse(half(), hot, BLADE)
    hold_a = free_air_a(half().conductor, FAMILY.aging_c, 90.0)
    assert found.rating_a * 1.35 <= hold_a * 1.0001
    assert (found.multiple, found.opens_s) == (1.35, math.inf)
    assert found.rating_a == pytest.approx(hold_a / 1.35, rel=1e-4)


def test_overcurrents_cover_the_band_and_each_has_the_longer_time_of_its_step():
    steps = list(overcurrents(ROUND, 16.0))
    assert steps[0][1] == pytest.approx(100.0)
    assert steps[-1][0] == 16.0
    assert steps[-1][1] == pytest.approx(0.25)  # 1 s at 8 times: a quarter at 16
    assert all(longest >= slowest_s(ROUND, 1.0, m) * (1 - 1e-9) for m, longest in steps)
    assert len(steps) == 13  # twelve between 2 and 8, one beyond
    assert list(overcurrents(ROUND, 2.0)) == []


def test_a_dead_short_that_the_wire_carries_for_ever_harms_it_behind_no_fuse():
    hold_a = free_air_a(half().conductor, FAMILY.aging_c, 40.0)
    heat = Temperatures(40.0, 40.0)
    assert largest_fuse(half(), heat, BLADE, hold_a * 0.99).rating_a == ANY_A
    assert outlasts(half(), heat, BLADE, 40.0, hold_a * 0.99)
    assert not outlasts(half(), heat, BLADE, 40.0, hold_a * 1.2)


def test_a_small_short_leaves_out_what_it_cannot_reach():
    # at 20 A a 40 A fuse never opens: only what it holds for ever is asked
    heat = Temperatures(40.0, 40.0)
    assert fails_at(half(), heat, BLADE, 40.0, 60.0) == (1.35, math.inf)
    assert fails_at(half(), heat, BLADE, 40.0, 20.0) == (0.5, math.inf)


def test_too_hot_for_the_insulation_stands_no_fuse():
    assert largest_fuse(half(), Temperatures(150.0, 150.0), BLADE).rating_a == 0.0


@given(st.integers(0, len(THIN) - 2), st.floats(20, 90), st.floats(0, 10), st.floats(0, 20))
@settings(max_examples=25, deadline=None)
def test_thicker_cooler_or_less_loaded_wire_stands_no_less(size, ambient, hotter, warmer):
    heat = Temperatures(ambient, ambient)
    now = largest_fuse(THIN[size], heat, BLADE).rating_a
    assert largest_fuse(THIN[size + 1], heat, BLADE).rating_a > now
    assert (
        largest_fuse(THIN[size], Temperatures(ambient + hotter, ambient + hotter), BLADE).rating_a
        <= now
    )
    assert largest_fuse(THIN[size], Temperatures(ambient, ambient + warmer), BLADE).rating_a <= now


@given(st.sampled_from(THIN), st.sampled_from(BLADE.ratings_a), st.floats(30, 90))
@settings(max_examples=40, deadline=None)
def test_outlasting_and_the_largest_rating_agree(candidate, rating, ambient):
    heat = Temperatures(ambient, ambient)
    found = largest_fuse(candidate, heat, BLADE).rating_a
    if abs(found / rating - 1) > 0.001:
        assert outlasts(candidate, heat, BLADE, rating) == (found > rating)


@given(st.sampled_from(THIN), st.floats(0, 90), st.sampled_from([math.inf, 400.0, 60.0]))
@settings(max_examples=40, deadline=None)
def test_the_rating_found_is_outlasted_and_none_larger_by_the_last_halving(wire, ambient, short_a):
    heat = Temperatures(ambient, ambient)
    found = largest_fuse(wire, heat, BLADE, short_a).rating_a
    if found == ANY_A:
        return
    first = next(multiple for multiple, _, longest in BLADE.bands if longest is not None)
    least_a = free_air_a(wire.conductor, FAMILY.aging_c, ambient) / first / 2**16
    assert outlasts(wire, heat, BLADE, found, short_a)
    assert not outlasts(wire, heat, BLADE, found + 1.01 * least_a, short_a)
