"""Outputs that switch themselves off: what they do for their wires, as a fuse does for its own."""

import math
from dataclasses import replace

import pytest

from buildbook.catalogue.load import wire_families
from buildbook.sizing.installation import Candidate
from buildbook.sizing.openers import WRITTEN, family_of, opener_called, openers
from buildbook.sizing.opening_time import fastest_s, slowest_s, surely_opens_a
from buildbook.sizing.overcurrent import Temperatures, fails_at, outlasts
from buildbook.vehicle.model import Contact
from tests.checks import minimal as m

TRIPS = ((20.0, 2.0), (60.0, 0.001))


def module(trips=TRIPS, limit_a=15.0):
    every = frozenset({"on"})
    output = Contact(
        "module.O1", "module", "module.O1", "module.M", every,
        limit_a=limit_a, kind="driver", trips=trips,
    )  # fmt: skip
    return m.vehicle((m.device("module", "controller", "M G O1", contacts=(output,)), m.fuse("F1")))


def test_an_output_takes_the_time_of_the_last_current_that_is_written():
    family = family_of(module(), "module.O1")
    assert family.how == WRITTEN
    assert [slowest_s(family, 15, a) for a in (20, 40, 59, 60, 900)] == pytest.approx(
        [2, 2, 2, 0.001, 0.001]
    )
    assert math.isinf(slowest_s(family, 15, 19.9))
    assert surely_opens_a(family, 15) == 20


def test_between_limit_and_trip_it_may_hold_for_ever_or_trip_as_soon_as_there():
    family = family_of(module(), "module.O1")
    assert math.isinf(fastest_s(family, 15, 15))
    assert fastest_s(family, 15, 16) == pytest.approx(2)


def test_fuses_and_outputs_are_told_apart():
    vehicle = module()
    assert [*openers(vehicle)] == ["F1", "module.O1"]
    assert not opener_called(vehicle, "F1").switches
    output = opener_called(vehicle, "module.O1")
    assert output.switches
    assert output.branches == ("contact:module.O1",)
    assert output.ends == (("module.M", "module.O1"),)


@pytest.mark.parametrize(("seconds", "survives"), [(0.09, True), (0.12, False)])
def test_a_wire_stands_what_the_adiabatic_equation_says_until_the_trip(seconds, survives):
    # IEC 60364-5-54, 434.5.2: I2 t = k2 S2. Copper in PVC from 70 to 160 degC, k = 115: 1 mm2
    # stands 115 x 115 = 13 225 A2 s, and so 360 A for 0.102 s.
    family = replace(wire_families()["thin-wall"], overload_c=160.0)
    conductor = next(c for c in family.conductors if c.label == "1 mm2")
    whole = Candidate(family, replace(conductor, area_mm2=1.0, strands=0))
    opener = family_of(module(((20.0, seconds),)), "module.O1")
    found = fails_at(whole, Temperatures(23.0, 70.0), opener, 15.0, 360.0)
    assert (found is None) == survives


def test_the_wire_carries_the_first_trip_for_ever():
    family = wire_families()["thin-wall"]
    thin = Candidate(family, next(c for c in family.conductors if c.label == "0.5 mm2"))
    cool = Temperatures(40.0, 50.0)
    slow = family_of(module(((40.0, 0.001),), 35.0), "module.O1")
    soon = family_of(module(((8.0, 0.001),), 5.0), "module.O1")
    assert not outlasts(thin, cool, slow, 35.0, 300.0)
    assert outlasts(thin, cool, soon, 5.0, 300.0)
