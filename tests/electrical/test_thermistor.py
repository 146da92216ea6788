"""Thermistor laws against published tables and against each other."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.electrical.thermistor import beta_k, coefficients, ohms_by_beta, ohms_of

MANUAL = {0: 32128, 10: 19549, 20: 12262, 25: 9814, 30: 7908, 50: 3542}
"""degC -> ohms of a 10 kohm thermistor: table A.1 of a laser controller's manual, appendix A,
'Steinhart-Hart equation' (read). It promises errors under 0.01 K for the three-term fit. Its row
for 40 degC (5331 ohm) is left out: a misprint, half a degree off every smooth curve."""

TEN_KOHM = {0: 32650, 25: 10000, 50: 3603, 100: 678.3}
"""degC -> ohms of the common 10 kohm curve (from memory, so held to a thousandth), whose
coefficients 1.129148e-3, 2.34125e-4, 8.76741e-8 a teaching sheet on thermistors prints (read)."""
LAW = (1.129148e-3, 2.34125e-4, 8.76741e-8)


def celsius_of(ohms, law):
    """Steinhart and Hart as published, the other way round than the program needs it."""
    a, b, c = law
    return 1 / (a + b * math.log(ohms) + c * math.log(ohms) ** 3) - 273.15


@pytest.mark.parametrize("celsius", [10, 20, 30])
def test_three_points_give_the_manuals_other_rows_within_a_hundredth_of_a_degree(celsius):
    law = coefficients([(c, MANUAL[c]) for c in (0, 25, 50)])
    assert celsius_of(MANUAL[celsius], law) == pytest.approx(celsius, abs=0.01)


@pytest.mark.parametrize("celsius", TEN_KOHM)
def test_published_coefficients_give_the_published_ohms(celsius):
    assert ohms_of(celsius, LAW) == pytest.approx(TEN_KOHM[celsius], rel=1e-3)


def test_beta_of_3380_k_from_25_to_100_degrees():
    """IEC 60539-1: B = ln(R1/R2) / (1/T1 - 1/T2). By hand for 10 kohm, B 3380 K at 100 degC:
    1/373.15 - 1/298.15 = -6.7413e-4; times 3380 is -2.27856; e to that is 0.10243."""
    assert ohms_by_beta(100, 10_000, 25, 3380) == pytest.approx(1024.3, rel=1e-4)
    assert beta_k((25, 10_000), (100, 1024.3)) == pytest.approx(3380, rel=1e-4)


def test_beta_law_has_its_own_resistance_where_it_is_stated():
    assert ohms_by_beta(20, 2500, 20, 3500) == pytest.approx(2500)


def test_steinhart_hart_without_its_third_term_is_the_beta_law():
    """With C = 0, 1/T = A + B ln R: the B value is 1/B."""
    law = (1 / 298.15 - math.log(10_000) / 3380, 1 / 3380, 0.0)
    assert ohms_of(80, law) == pytest.approx(ohms_by_beta(80, 10_000, 25, 3380), rel=1e-9)


@given(celsius=st.floats(-50, 250))
def test_ohms_put_into_the_published_equation_give_the_temperature_back(celsius):
    assert celsius_of(ohms_of(celsius, LAW), LAW) == pytest.approx(celsius, abs=1e-6)


@given(
    cold=st.floats(-40, 10),
    middle=st.floats(20, 60),
    hot=st.floats(70, 150),
    beta=st.floats(2500, 4500),
)
def test_the_curve_goes_through_its_three_points(cold, middle, hot, beta):
    points = [(c, ohms_by_beta(c, 3000, 25, beta)) for c in (cold, middle, hot)]
    law = coefficients(points)
    for celsius, ohms in points:
        assert ohms_of(celsius, law) == pytest.approx(ohms, rel=1e-6)
