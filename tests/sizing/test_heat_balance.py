"""The heat balance against published film coefficients and hand sums."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.catalogue.load import wire_families
from buildbook.catalogue.model import Conductor
from buildbook.sizing.heat_balance import (
    film_w_per_m2_k,
    heat_w_per_m,
    resistance_ratio,
    store_j_per_m_k,
    wall_k_m_per_w,
)

THIN = wire_families()["thin-wall"].conductors


@pytest.mark.parametrize("temperature_c", [-40.0, 0.0, 20.0, 60.0, 100.0])
def test_resistance_follows_coppers_coefficient(temperature_c):
    # IEC 60028: 0.00393 per degC at 20 degC (memory)
    expected = 1 + 0.00393 * (temperature_c - 20)
    assert resistance_ratio(temperature_c) == pytest.approx(expected, rel=1e-3)


def test_run_length_shrinks_as_the_handbook_says():
    # AC 43.13-1B, 11-66: L2 = 254.5 L1 / (234.5 + T2)
    assert 1 / resistance_ratio(105.0) == pytest.approx(254.5 / (234.5 + 105.0), rel=1e-12)


def convected(diameter_m, surface_c, ambient_c):
    """What is left of the film after a hand sum of radiation from a dull surface, 0.9."""
    surface, ambient = surface_c + 273.15, ambient_c + 273.15
    radiated = 0.9 * 5.670e-8 * (surface**4 - ambient**4) / (surface - ambient)
    return film_w_per_m2_k(diameter_m, surface_c, ambient_c) - radiated


def test_a_thick_cylinder_convects_as_the_textbook_rule_of_thumb():
    # Simplified free convection of air, laminar, level cylinder: h = 1.32 (dT / d)^0.25 (McAdams,
    # memory), good to 15 percent
    for rise in (20.0, 60.0, 100.0):
        expected = 1.32 * (rise / 0.05) ** 0.25
        assert convected(0.05, 20.0 + rise, 20.0) == pytest.approx(expected, rel=0.15)


def test_churchill_and_chu_example_of_a_hot_pipe():
    # Worked example of a textbook (Incropera and DeWitt, chapter 9; memory): a 0.1 m pipe at
    # 165 degC in air of 23 degC: Ra 5.07e6, Nu 23.3, k 0.0313, so h = 23.3 * 0.0313 / 0.1
    assert convected(0.1, 165.0, 23.0) == pytest.approx(7.29, rel=0.01)


def test_a_hair_sheds_at_least_what_still_air_conducts():
    # As Ra goes to nothing, Nu of the correlation goes to 0.36: h = 0.36 k / d
    assert convected(1e-6, 40.0, 20.0) == pytest.approx(0.36 * 0.0264 / 1e-6, rel=0.05)


def test_film_is_defined_where_nothing_is_warmer():
    """A rise under a hundredth of a degree counts as that."""
    still = film_w_per_m2_k(0.002, 30.0, 30.0)
    assert still == pytest.approx(film_w_per_m2_k(0.002, 30.01, 30.0), rel=1e-4)
    assert still < film_w_per_m2_k(0.002, 31.0, 30.0)


def test_film_of_a_thin_wire_is_the_correlation_by_hand():
    # Hand sum, 2 mm at 80 degC in air of 40 degC: film 333.15 K, k 0.02865, nu 1.889e-5, Ra 18.75,
    # (1 + (0.559 / 0.71)^(9/16))^(8/27) = 1.2046, Nu (0.6 + 0.387 * 1.630 / 1.2046)^2 = 1.263
    assert convected(0.002, 80.0, 40.0) == pytest.approx(18.09, abs=0.01)


def test_a_fifth_of_a_degree_convects_more_than_a_fiftieth():
    assert convected(0.002, 30.2, 30.0) > 1.05 * convected(0.002, 30.02, 30.0)


def test_wall_resists_by_the_log_of_its_diameters():
    # Hand sum: 1 mm2 at 0.75 fill is 1.303 mm across; ln(2.1 / 1.303) / (2 pi 0.19) = 0.400
    wire = Conductor("1 mm2", 1.0, 0.0195, 2.1, 0.0121, "")
    assert wall_k_m_per_w(wire) == pytest.approx(0.400, abs=0.001)


def test_a_wire_without_wall_still_has_a_thin_one():
    bare = Conductor("1 mm2", 1.0, 0.0195, 1.0, 0.0121, "")
    assert wall_k_m_per_w(bare) == pytest.approx(math.log(1.02) / (2 * math.pi * 0.19))


def test_what_passes_the_wall_leaves_the_surface():
    """Both sides of the balance by hand at the surface temperature that it implies."""
    for wire in THIN:
        heat = heat_w_per_m(wire, 100.0, 40.0)
        surface = 100.0 - heat * wall_k_m_per_w(wire)
        outside_m = wire.outside_mm / 1000
        left = math.pi * outside_m * film_w_per_m2_k(outside_m, surface, 40.0) * (surface - 40.0)
        assert left == pytest.approx(heat, rel=1e-6)
        assert 40.0 < surface < 100.0


def test_nothing_is_shed_to_warmer_air():
    assert heat_w_per_m(THIN[0], 40.0, 40.0) == 0.0
    assert heat_w_per_m(THIN[0], 30.0, 40.0) == 0.0


def test_copper_stores_385_to_390_joules_a_kilogram():
    # Specific heat of copper 385 J/(kg K) at 25 degC, 8890 to 8960 kg/m3 (memory); IEC 60949 has
    # 3.45e6 J/(m3 K)
    wire = Conductor("2 mm2", 2.0, 0.01, 3.0, 0.02, "")
    assert store_j_per_m_k(wire) == pytest.approx(2e-6 * 8960 * 385, rel=0.002)


@given(st.sampled_from(THIN), st.floats(-40, 120), st.floats(0.1, 1000))
def test_wall_and_air_meet_at_one_surface_however_far_they_are_apart(wire, ambient, rise):
    heat, outside_m = heat_w_per_m(wire, ambient + rise, ambient), wire.outside_mm / 1000
    surface = ambient + rise - heat * wall_k_m_per_w(wire)

    def taken(warmer: float) -> float:
        at = surface + warmer
        return math.pi * outside_m * film_w_per_m2_k(outside_m, at, ambient) * (at - ambient)

    # less on the cooler side than the wall lets through, more on the warmer: it lies between
    least = 1e-8 * (1 + rise)
    assert taken(-least) < heat + least / wall_k_m_per_w(wire)
    assert taken(least) > heat - least / wall_k_m_per_w(wire)
