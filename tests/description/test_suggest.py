"""A name is suggested only where it may have been meant."""

from __future__ import annotations

import pytest

from buildbook.description.suggest import did_you_mean


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("devises", "devices"),
        ("lights", "lighting"),
        ("fuel-pmup", "fuel-pump"),
        ("oil-temprature", "oil-temperature"),
        ("headlamp", "headlamp-left"),
        ("Fuel-Pump", "fuel-pump"),
        ("inrsh", "inrush"),
    ],
)
def test_a_slip_is_told_with_what_was_meant(typed, meant):
    assert did_you_mean(typed, [meant, "starter", "gearbox-tail"]) == f"did you mean `{meant}`?"


@pytest.mark.parametrize(("typed", "other"), [("wiper", "downpipe"), ("horn", "thermostat")])
def test_letters_in_common_are_not_enough(typed, other):
    assert did_you_mean(typed, [other]) == f"known here: `{other}`"
