"""Short-circuit withstand against IEC 60364-5-54 and 60364-4-43."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.sizing.short_circuit_withstand import (
    LONGEST_S,
    k_factor,
    least_mm2,
    withstand_a,
    withstand_s,
)


@pytest.mark.parametrize(
    ("initial_c", "final_c", "k"),
    # IEC 60364-5-54 annex A and 60364-4-43 table 43A, copper (memory): PVC laid cold, PVC in a
    # loaded cable, PVC laid cold above 300 mm2, PVC loaded above 300 mm2, thermosetting laid
    # cold, thermosetting loaded, rubber 60 degC laid cold, rubber 60 degC loaded, bare
    [
        (30, 160, 143),
        (70, 160, 115),
        (30, 140, 133),
        (70, 140, 103),
        (30, 250, 176),
        (90, 250, 143),
        (30, 200, 159),
        (60, 200, 141),
        (30, 500, 228),
    ],
)
def test_k_is_that_of_the_tables(initial_c, final_c, k):
    assert k_factor(initial_c, final_c) == pytest.approx(k, abs=0.6)


def test_k_is_the_equation_with_coppers_constants():
    # Hand sum with IEC 60364-5-54's constants: Qc 3.45e-3, 254.5, 17.241e-6, from 30 to 160 degC
    by_hand = math.sqrt(3.45e-3 * 254.5 / 17.241e-6 * math.log(394.5 / 264.5))
    assert k_factor(30, 160) == pytest.approx(by_hand, rel=1e-9)


def test_k_of_copper_is_226_before_the_temperatures_come_in():
    # IEC 60949: K = 226 A s^0.5/mm2 (memory); ln((234.5 + T) / (234.5 + 20)) = 1 at e * 254.5
    assert k_factor(20.0, math.e * 254.5 - 234.5) == pytest.approx(226, abs=0.5)


def test_the_equation_holds_for_five_seconds():
    # IEC 60364-4-43, 434.5.2 (memory)
    assert LONGEST_S == 5.0


def test_nothing_is_left_for_a_conductor_already_at_its_limit():
    assert k_factor(160, 160) == 0.0
    assert k_factor(170, 160) == 0.0


def test_withstand_is_k_times_area_over_root_time():
    # Hand sums with k = 115: 2.5 mm2 for 0.25 s stands 115 * 2.5 / 0.5 = 575 A
    assert withstand_a(2.5, 115.0, 0.25) == pytest.approx(575.0)
    assert withstand_s(2.5, 115.0, 575.0) == pytest.approx(0.25)
    assert least_mm2(115.0, 575.0, 0.25) == pytest.approx(2.5)


def test_no_current_is_stood_for_ever():
    assert withstand_s(2.5, 115.0, 0.0) == math.inf


@settings(deadline=None)
@given(st.floats(0.2, 95), st.floats(0.001, 5), st.floats(20, 100), st.floats(110, 300))
def test_time_current_and_area_agree(area, time, initial, final):
    k = k_factor(initial, final)
    amps = withstand_a(area, k, time)
    assert withstand_s(area, k, amps) == pytest.approx(time, rel=1e-9)
    assert least_mm2(k, amps, time) == pytest.approx(area, rel=1e-9)
    assert k_factor(initial + 1, final) < k < k_factor(initial, final + 1)
