"""Platinum thermometers against the tables of IEC 60751."""

import pytest

from buildbook.electrical.platinum import ohms_at, span_at, tolerance_k

TABLE = {
    -200: 18.52,
    -100: 60.26,
    0: 100.00,
    10: 103.90,
    20: 107.79,
    50: 119.40,
    100: 138.51,
    150: 157.33,
    200: 175.86,
    300: 212.05,
    400: 247.09,
    500: 280.98,
    600: 313.71,
    650: 329.64,
    850: 390.48,
}
"""degC -> ohms of a Pt100: table 1 of IEC 60751, as two makers' reference pages print it (read);
850 degC from memory."""

LIMITS = {
    "A": {
        -200: (0.55, 0.24),
        -100: (0.35, 0.14),
        0: (0.15, 0.06),
        100: (0.35, 0.13),
        200: (0.55, 0.20),
        300: (0.75, 0.27),
        600: (1.35, 0.43),
    },
    "B": {
        -200: (1.3, 0.56),
        -100: (0.8, 0.32),
        0: (0.3, 0.12),
        100: (0.8, 0.30),
        200: (1.3, 0.48),
        300: (1.8, 0.64),
        800: (4.3, 1.28),
    },
}
"""Class -> degC -> kelvin and ohms that a Pt100 may be out: IEC 60751 (read in a summary)."""


@pytest.mark.parametrize("celsius", TABLE)
def test_pt100_has_the_ohms_of_the_table(celsius):
    assert round(ohms_at(celsius), 2) == TABLE[celsius]


def test_pt1000_has_ten_times_the_ohms():
    assert ohms_at(100, 1000) == pytest.approx(1385.06, abs=0.0051)


@pytest.mark.parametrize(("grade", "celsius"), [(g, c) for g, rows in LIMITS.items() for c in rows])
def test_tolerance_classes_are_those_of_the_table(grade, celsius):
    kelvin, ohms = LIMITS[grade][celsius]
    assert tolerance_k(celsius, grade) == pytest.approx(kelvin)
    span = span_at(celsius, 100.0, grade)
    assert (span.high - span.low) / 2 == pytest.approx(ohms, abs=0.0051)


def test_class_aa_and_c():
    """IEC 60751:2008: AA 0.1 + 0.0017 |t|, C 0.6 + 0.01 |t|."""
    assert tolerance_k(-100, "AA") == pytest.approx(0.27)
    assert tolerance_k(200, "C") == pytest.approx(2.6)
