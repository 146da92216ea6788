"""Fuses against the opening times of ISO 8820-3."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.catalogue.load import fuse_families, wire_families
from buildbook.sizing.ampacity import overload_a
from buildbook.sizing.band import fastest_s
from buildbook.sizing.fuse import FuseLoad, needed_rating_a
from buildbook.sizing.place import Candidate
from buildbook.sizing.stand import Heat, stand

BLADE = fuse_families()["blade"]
THIN = [Candidate(wire_families()["thin-wall"], c) for c in wire_families()["thin-wall"].conductors]

# ISO 8820-3 blade fuse-links (memory): percent of rating, shortest and longest seconds to open
ISO_8820 = [
    (135, 0.75, 600), (160, 0.25, 50), (200, 0.15, 5), (350, 0.04, 0.5), (600, 0.02, 0.1),
]  # fmt: skip


def stand_a(wire, ambient_c, fuse):
    return stand(wire, Heat(ambient_c, ambient_c), fuse).rating_a


def load(current_a, inrush_a=0.0, inrush_s=0.0):
    return FuseLoad(current_a, "on", inrush_a, inrush_s, "x", ("x",))


@pytest.mark.parametrize(("percent", "shortest", "_longest"), ISO_8820)
def test_fuse_may_open_after_the_shortest_time_of_its_band(percent, shortest, _longest):
    assert fastest_s(BLADE, 10.0, percent / 10) == pytest.approx(shortest)


def test_fuse_holds_110_percent():
    assert fastest_s(BLADE, 10.0, 11.0) == math.inf


@pytest.mark.parametrize(
    ("amps", "rating"), [(0.7, 1), (2.2, 3), (3.0, 4), (7.5, 10), (7.6, 15), (15.1, 25), (22, 30)]
)
def test_rating_carries_the_load_at_three_quarters(amps, rating):
    # three quarters continuous is common practice; standard ratings ISO 8820-3
    assert needed_rating_a(BLADE, load(amps)) == rating


def test_inrush_asks_for_a_larger_fuse():
    # 24 A for 150 ms: a 15 A fuse at 160 percent may open after 0.25 s, a 10 A one at 240
    # percent before 0.15 s
    assert needed_rating_a(BLADE, load(5.0)) == 7.5
    assert needed_rating_a(BLADE, load(5.0, 24.0, 0.15)) == 15


@pytest.mark.parametrize("wire", THIN, ids=lambda c: c.label)
@pytest.mark.parametrize(("percent", "_shortest", "longest"), ISO_8820)
def test_fuse_opens_before_its_wire_is_harmed(wire, percent, _shortest, longest):
    """Class B insulation, 100 degC, stands 150 degC for a while (ISO 6722, memory)."""
    rating = stand_a(wire, 60.0, BLADE)
    amps = rating * percent / 100
    assert amps <= overload_a(wire.conductor, 150.0, 60.0, longest) * (1 + 1e-9)


@pytest.mark.parametrize(
    ("area_mm2", "rating"), [(0.5, 7.5), (0.75, 10), (1.0, 15), (1.5, 15), (2.5, 25), (4.0, 30)]
)
def test_usual_pairs_of_wire_and_fuse_are_allowed(area_mm2, rating):
    # pairings of the trade at moderate temperatures (memory)
    (wire,) = (c for c in THIN if c.area_mm2 == area_mm2)
    assert stand_a(wire, 40.0, BLADE) >= rating


def test_thin_wire_does_not_stand_a_large_fuse():
    (wire,) = (c for c in THIN if c.area_mm2 == 0.5)
    assert stand_a(wire, 40.0, BLADE) < 20


@given(st.floats(0.01, 29), st.floats(0, 5), st.floats(0, 80), st.floats(0.01, 0.5))
def test_more_load_or_inrush_never_means_a_smaller_fuse(amps, more, inrush, seconds):
    now = needed_rating_a(BLADE, load(amps, inrush, seconds))
    assert needed_rating_a(BLADE, load(amps + more, inrush, seconds)) >= now
    assert needed_rating_a(BLADE, load(amps, inrush + more, seconds)) >= now


@given(st.integers(0, len(THIN) - 2), st.floats(20, 90), st.floats(0, 10))
def test_thicker_or_cooler_wire_stands_more(size, ambient, hotter):
    now = stand_a(THIN[size], ambient, BLADE)
    assert stand_a(THIN[size + 1], ambient, BLADE) > now
    assert stand_a(THIN[size], ambient + hotter, BLADE) <= now
