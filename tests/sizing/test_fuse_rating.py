"""Fuses against the opening times of ISO 8820-3."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.catalogue.load import fuse_families, wire_families
from buildbook.electrical.model import Branch, Solved
from buildbook.sizing.fuse_load import FLAT_BATTERY, FuseLoad, air_c, fuse_loads
from buildbook.sizing.fuse_rating import (
    carries_a,
    derating,
    holds,
    inrush_rating_a,
    load_rating_a,
    needed_rating_a,
)
from buildbook.sizing.installation import Candidate
from buildbook.sizing.load_paths import LoadPath
from buildbook.sizing.opening_time import fastest_s
from buildbook.sizing.overcurrent import Temperatures, largest_fuse
from buildbook.sizing.transient_heating import overload_a
from tests.checks import minimal as m
from tests.sizing import fuses
from tests.sizing.fuses import ROUND

BLADE = fuse_families()["blade"]
THIN = [Candidate(wire_families()["thin-wall"], c) for c in wire_families()["thin-wall"].conductors]

# ISO 8820-3 blade fuse-links (memory): percent of rating, shortest and longest seconds to open
ISO_8820 = [
    (135, 0.75, 600),
    (160, 0.25, 50),
    (200, 0.15, 5),
    (350, 0.04, 0.5),
    (600, 0.02, 0.1),
]


def stand_a(wire, ambient_c, fuse):
    return largest_fuse(wire, Temperatures(ambient_c, ambient_c), fuse).rating_a


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


@pytest.mark.parametrize(("ambient", "left"), [(-20, 1.0), (23, 1.0), (33, 0.98), (123, 0.8)])
def test_a_fuse_in_warm_air_loses_a_share_of_its_rating_for_each_degree(ambient, left):
    # the round family loses 0.2 % a degree above 23 degC
    assert derating(ROUND, ambient) == pytest.approx(left)
    assert carries_a(ROUND, 20.0, ambient) == pytest.approx(20 * 0.75 * left)


@pytest.mark.parametrize(
    ("amps", "ambient", "rating"),
    [(7.5, 23, 10), (7.51, 23, 20), (7.35, 33, 10), (7.36, 33, 20), (1000, 23, 50)],
)
def test_rating_for_a_load_in_warm_air(amps, ambient, rating):
    # 10 A carry 7.5 A at 23 degC and 7.35 A at 33 degC; nothing carries 1000 A
    assert load_rating_a(ROUND, fuses.load(amps, ambient_c=ambient)) == rating


@pytest.mark.parametrize(("seconds", "passes"), [(0.0999, True), (0.1, False), (0.2, False)])
def test_a_10_a_fuse_lets_40_a_through_for_under_a_tenth_of_a_second(seconds, passes):
    # halfway between 2 times, 1 s, and 8 times, 0.01 s, on log-log paper
    assert holds(ROUND, 10.0, 40.0, seconds) is passes
    assert holds(ROUND, 10.0, 0.0, 1e9)


def test_inrush_is_judged_at_the_derated_rating():
    # 40 A for 90 ms pass a 10 A fuse in 23 degC; 100 K hotter it is one of 8 A and opens sooner
    assert inrush_rating_a(ROUND, fuses.load(inrush_a=40, inrush_s=0.09)) == 10
    assert inrush_rating_a(ROUND, fuses.load(inrush_a=40, inrush_s=0.09, ambient_c=123)) == 20


def test_cranking_is_judged_for_half_a_minute():
    # 30 s at 1.4 times the rating: 10 A * (1000 / 30)^(1/log2(1000)) = 14.2 A
    assert needed_rating_a(ROUND, fuses.load(crank_a=14.0)) == 10
    assert needed_rating_a(ROUND, fuses.load(crank_a=14.3)) == 20


def test_the_greater_of_load_and_inrush_sets_the_rating():
    assert needed_rating_a(ROUND, fuses.load(14.0, 10.0, 0.1)) == 20
    assert needed_rating_a(ROUND, fuses.load(1.0, 80.0, 0.09)) == 20


FUSE = Branch("fuse:F1", "fuse", "F1", "F1.in~", "F1.out~", 0.005)


def fed(load_, state, amps):
    return LoadPath(load_, state, amps, (FUSE,), (), 0.0, 0.4, False, ())


def loads_of(heating, meter, paths, charging=None, cranking=(), kinds=("lamp", "starter")):
    """What F1 carries with amps by state in both solutions."""
    devices = [m.fuse("F1"), *(m.device(kind, "lamp", "1 2") for kind in kinds)]
    devices[-1] = m.device("starter", "starter", "1 2")
    solved = Solved(
        {s: m.solution(s, amps={"fuse:F1": a}) for s, a in meter.items()},
        {s: m.solution(s, amps={"fuse:F1": a}) for s, a in heating.items()},
    )
    vehicle = m.vehicle(tuple(devices))
    return fuse_loads(vehicle, paths, solved, charging or {}, frozenset(cranking))["F1"]


def lamp(name="lamp", **fields):
    return m.load(name, f"{name}.1", f"{name}.2", 2.4, **fields)


def test_the_larger_of_rms_and_average_wears_a_fuse():
    found = loads_of({"on": 8.18, "idle": 5.0}, {"on": -8.26, "idle": 4.0}, [])
    assert (found.current_a, found.state) == (8.26, "on")
    found = loads_of({"on": 8.18, "idle": 9.0}, {"on": 8.26, "idle": 4.0}, [])
    assert (found.current_a, found.state) == (9.0, "idle")


def test_a_flat_battery_sends_the_whole_output_through_and_is_named_so():
    found = loads_of({"on": 60.0}, {"on": 58.0}, [], {"fuse:F1": 95.0})
    assert (found.current_a, found.state) == (95.0, FLAT_BATTERY)
    found = loads_of({"on": 99.0}, {"on": 58.0}, [], {"fuse:F1": 95.0})
    assert (found.current_a, found.state) == (99.0, "on")


def test_hardest_inrush_comes_on_top_of_the_other_loads_of_its_state():
    # 8 A through the fuse, 3 of them the lamp's: 5 remain under its 30 A; by heat, I2 t, the
    # longer one of 20 A is harder
    short = fed(lamp(inrush_a=30.0, inrush_s=0.01), "on", 3.0)
    long = fed(lamp("fan", inrush_a=20.0, inrush_s=0.5), "on", 4.0)
    found = loads_of({"on": 8.0}, {"on": 8.0}, [short, long], kinds=("lamp", "fan", "starter"))
    assert (found.inrush_a, found.inrush_s, found.inrush_load) == (24.0, 0.5, "fan")
    found = loads_of({"on": 8.0}, {"on": 8.0}, [short])
    assert (found.inrush_a, found.inrush_s) == (35.0, 0.01)
    assert found.feeds == ("lamp",)


def test_a_starters_current_through_a_fuse_is_timed_and_no_load_for_ever():
    start = fed(lamp("starter"), "cranking", 180.0)
    amps = {"on": 8.0, "cranking": 190.0}
    found = loads_of(amps, amps, [start], cranking=["cranking"])
    assert (found.current_a, found.state, found.crank_a) == (8.0, "on", 190.0)
    other = fed(lamp(), "cranking", 190.0)
    found = loads_of(amps, amps, [other], cranking=["cranking"])
    assert (found.current_a, found.crank_a) == (190.0, 0.0)


def test_air_of_a_device_is_the_hottest_that_its_rope_comes_from():
    zones = {"cabin": {"ambient": "40 degC"}, "bay": {"ambient": "90 degC"}}
    runs = (m.run("a", "P", "Q"), m.run("b", "R", "P", zone="bay"))
    vehicle = m.vehicle((m.fuse("F1"),), runs=runs, zones=zones)
    assert air_c(vehicle, "P") == 90.0
    assert air_c(vehicle, "Q") == 40.0
    assert air_c(vehicle, "elsewhere") == 40.0


def test_a_short_high_inrush_can_be_harder_than_a_long_low_one():
    # 16 against 10 A2s, though 0.4 against 1 As
    high = fed(lamp(inrush_a=40.0, inrush_s=0.01), "on", 8.0)
    low = fed(lamp("fan", inrush_a=10.0, inrush_s=0.1), "on", 8.0)
    found = loads_of({"on": 8.0}, {"on": 8.0}, [low, high], kinds=("lamp", "fan", "starter"))
    assert found.inrush_load == "lamp"


def test_a_load_without_inrush_has_none():
    found = loads_of({"on": 8.0}, {"on": 8.0}, [fed(lamp(), "on", 3.0)])
    assert (found.inrush_a, found.inrush_s, found.inrush_load) == (0.0, 0.0, "")


def test_the_hardest_of_several_cranking_states_is_timed():
    cold = fed(lamp("starter"), "on", 90.0)
    warm = fed(lamp("starter"), "cranking", 150.0)
    amps = {"on": 100.0, "cranking": 160.0, "off": 0.5}
    found = loads_of(amps, amps, [cold, warm], cranking=["on", "cranking"])
    assert (found.crank_a, found.current_a, found.state) == (160.0, 0.5, "off")
