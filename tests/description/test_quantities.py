"""Quantities as people write them, and what is refused."""

from __future__ import annotations

import pytest

from buildbook.description.quantities import parse, parse_size


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("640 mm", "m", 0.64),
        ("9 in", "m", 0.2286),  # 1 in = 25.4 mm exactly
        ("300 mA", "A", 0.3),
        ("8 mohm", "ohm", 0.008),
        ("2.2 kohm", "ohm", 2200.0),
        ("150 ms", "s", 0.15),
        ("185 degF", "degC", 85.0),  # (185 - 32) / 1.8
        ("-40 degF", "degC", -40.0),
        ("30 %", "1", 0.3),
        ("900 rpm", "rpm", 900.0),
        ("40 Ah", "Ah", 40.0),
        ("0.5 mm2", "mm**2", 0.5),
    ],
)
def test_a_quantity_is_read_in_its_unit(text, unit, value):
    assert parse(text, unit) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        "12",
        "A",
        "12 V",
        "12 bananas",
        "1e999 A",
        "nan A",
        "5 9**9**9**9",
        "5 A**999999999",
        "5 (A)",
        "5 __class__",
        "1" * 100 + " A",
        "3,5 A",
        12,
        True,
        None,
        [],
    ],
)
def test_what_is_not_a_current_is_refused_with_an_example(text):
    with pytest.raises(ValueError, match="12 A"):
        parse(text, "A")


def test_awg_20_is_half_a_square_millimetre():
    # ASTM B258: AWG 20 is 0.812 mm across, 0.518 mm2 (standard table, from memory).
    assert parse_size("AWG 20").area_mm2 == pytest.approx(0.518, abs=0.001)


def test_awg_4_0_is_107_square_millimetres():
    # ASTM B258: 4/0 is 0.4600 in across, 107.2 mm2 (standard table, from memory).
    assert parse_size("AWG 4/0").area_mm2 == pytest.approx(107.2, abs=0.1)


@pytest.mark.parametrize(
    ("text", "metres"),
    [("37 1/2 in", 0.9525), ("1/4 in", 0.00635), ("9 3/16 in", 0.2333625), ("2 1/2 ft", 0.762)],
)
def test_a_length_may_be_read_off_a_tape_in_fractions(text, metres):
    """25.4 mm to the inch, 12 inches to the foot (international yard, 1959)."""
    assert parse(text, "m") == pytest.approx(metres)


@pytest.mark.parametrize("text", ["37 1/0 in", "1/2", "1/2 1/2 in", "a 1/2 in"])
def test_what_is_no_fraction_of_a_length_is_refused(text):
    with pytest.raises(ValueError, match="write for example|has no unit"):
        parse(text, "m")
