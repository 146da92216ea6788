"""Codes of ISO 16750-2, from memory, and what works from given volts."""

import pytest

from buildbook.electrical.laws.supply_levels import code_for, works_over


@pytest.mark.parametrize(
    ("code", "least_v", "most_v"), [("A", 6, 16), ("C", 9, 16), ("D", 10.5, 16), ("H", 18, 32)]
)
def test_volts_of_codes(code, least_v, most_v):
    span = works_over(code)
    assert (span.low, span.high) == (least_v, most_v)


@pytest.mark.parametrize(
    ("works_from_v", "nominal_v", "code"),
    [(6.0, 12, "A"), (7.0, 12, "B"), (9.0, 12, "C"), (11.0, 12, ""), (17.0, 24, "H")],
)
def test_widest_code_that_is_met(works_from_v, nominal_v, code):
    assert code_for(works_from_v, nominal_v) == code
