"""What a conductor carries in the pieces of rope that its wire lies in."""

import math

import pytest

from buildbook.catalogue.load import wire_families
from buildbook.harness.model import Addend, End, Wire
from buildbook.sizing.altitude_derating import altitude_factor
from buildbook.sizing.ampacity import free_air_a
from buildbook.sizing.bundle_derating import bundle_factor
from buildbook.sizing.installation import Candidate, Installation, RunConditions
from buildbook.sizing.installed_ampacity import (
    LEAST_SHARE,
    Site,
    installed_ampacity,
    share_in_use,
    sizing_installation,
    temperatures_of,
    warm_c,
)

FAMILY = wire_families()["thin-wall"]
ONE = Candidate(FAMILY, next(c for c in FAMILY.conductors if c.area_mm2 == 1))
COOL = RunConditions("cool", 40.0, 20)
HOT = RunConditions("hot", 80.0, 2)


def installation(*pieces, ambient_c=40.0, count=1):
    ends = End("pin", "a.1", "here"), End("pin", "b.1", "there")
    wire = Wire("101", "c", "h", *ends, (), (), (Addend("run", 1.0),), "RD", "thin-wall")
    hottest = max((p.ambient_c for p in pieces), default=ambient_c)
    return Installation(wire, (ONE,), hottest, count, (), False, None, pieces)


def test_the_piece_that_leaves_least_decides():
    cool = free_air_a(ONE.conductor, FAMILY.rated_c, 40.0) * bundle_factor(20, 0.2)
    hot = free_air_a(ONE.conductor, FAMILY.rated_c, 80.0) * bundle_factor(2, 0.2)
    found = installed_ampacity(installation(COOL, HOT), ONE, Site())
    assert found.allowed_a == pytest.approx(min(cool, hot))
    assert found.ambient_c == (40.0 if cool < hot else 80.0)


def test_hottest_air_and_fullest_bundle_are_not_taken_together_where_they_are_apart():
    apart = installed_ampacity(installation(COOL, HOT), ONE, Site()).allowed_a
    assert (
        installed_ampacity(installation(RunConditions("both", 80.0, 20)), ONE, Site()).allowed_a
        < apart
    )


def test_allowed_current_is_the_product_of_the_factors_shown():
    found = installed_ampacity(installation(COOL), ONE, Site(3000.0, {"cool": 0.5}))
    assert found.altitude_factor == altitude_factor(3000.0)
    assert found.bundle_factor == bundle_factor(20, 0.5)
    assert found.share == 0.5
    product = found.free_air_a * found.bundle_factor * found.altitude_factor
    assert found.allowed_a == pytest.approx(product)


def test_a_jumper_at_one_point_lies_in_the_air_there():
    found = installed_ampacity(installation(ambient_c=55.0, count=3), ONE, Site())
    assert (found.ambient_c, found.count, found.share) == (55.0, 3, LEAST_SHARE)


@pytest.mark.parametrize(
    ("amps", "free_a", "share"),
    [
        ([0, 0], [10, 10], 0.2),  # never under the least
        ([5, 0], [10, 10], 0.25),
        ([5.1, 0], [10, 10], 0.3),  # 0.255, taken up to the next step of 0.05
        ([9, 9], [10, 10], 0.9),
        ([30, 0], [10, 10], 1.0),  # never above the whole
    ],
)
def test_share_of_a_bundle_in_use(amps, free_a, share):
    assert share_in_use(amps, free_a) == pytest.approx(share)


def test_copper_warms_with_the_root_of_its_load():
    # AC 43.13-1B, 11-66: T1 + (TR - T1) sqrt(I / Imax); a quarter of the load, half the rise
    most = installed_ampacity(installation(COOL), ONE, Site()).allowed_a
    assert warm_c(installation(COOL), ONE, most, Site()) == pytest.approx(FAMILY.rated_c)
    half = 40 + (FAMILY.rated_c - 40) / 2
    assert warm_c(installation(COOL), ONE, most / 4, Site()) == pytest.approx(half)


def test_copper_before_a_fault_is_taken_up_to_whole_fives():
    heat = temperatures_of(installation(COOL, HOT), ONE, 0.0, Site())
    assert (heat.ambient_c, heat.start_c) == (80.0, 80.0)
    most = installed_ampacity(installation(COOL), ONE, Site()).allowed_a
    warm = warm_c(installation(COOL), ONE, most / 3, Site())
    start = temperatures_of(installation(COOL), ONE, most / 3, Site()).start_c
    assert start == 5 * math.ceil(warm / 5)
    assert start - 5 < warm <= start


def test_in_air_too_hot_for_the_insulation_the_current_alone_sizes_the_wire():
    same = installation(COOL)
    assert sizing_installation(same) is same
    cooler = sizing_installation(installation(COOL, RunConditions("exhaust", FAMILY.rated_c, 4)))
    assert cooler.ambient_c == FAMILY.rated_c - 15
    assert [p.ambient_c for p in cooler.run_conditions] == [40.0, FAMILY.rated_c - 15]
