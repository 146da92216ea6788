"""The heating calculator against an integration by scipy and sums by hand."""

from __future__ import annotations

import pytest
from scipy.integrate import solve_ivp

from buildbook.catalogue.load import wire_families
from buildbook.sizing.heat_balance import heat_w_per_m
from tests.calculators.run import result_of, run

WINCH = "heating --current 150 A --time 60 s --size 10 mm2 --wire battery --ambient 40 degC"


def cycled_c(amps: float, on_s: float, off_s: float, cycles: int) -> float:
    """scipy's peak temperature of 10 mm2 battery cable in air of 40 degC."""
    (wire,) = (c for c in wire_families()["battery"].conductors if c.label == "10 mm2")
    at = peak = 40.0
    for _ in range(cycles):
        for current, time in ((amps, on_s), (0.0, off_s)):
            at_once = solve_ivp(
                lambda _t, y, i=current: (
                    (
                        i**2 * wire.ohm_per_m_20c * (234.5 + y[0]) / 254.5
                        - heat_w_per_m(wire, y[0], 40.0)
                    )
                    / (10 * 3.45)
                ),
                (0, time),
                [at],
                rtol=1e-5,
            )
            at = at_once.y[0, -1]
            peak = at if current else peak
    return peak


def test_a_cable_is_as_hot_after_a_minute_as_scipy_integrates_it():
    found = result_of(WINCH)
    assert cycled_c(150.0, 60.0, 1.0, 1) == pytest.approx(
        found["temperature after the time"], abs=0.5
    )


def test_a_load_that_comes_and_goes_peaks_at_the_limit_as_scipy_integrates_it():
    found = result_of(f"{WINCH} --rest 120 s")
    assert cycled_c(found["largest current"], 60.0, 120.0, 15) == pytest.approx(105.0, abs=0.5)


def test_a_rest_costs_current_and_no_rest_is_once():
    once, often = result_of(WINCH), result_of(f"{WINCH} --rest 30 s")
    assert often["largest current"] < once["largest current"]


def test_a_small_current_never_gets_there():
    small = WINCH.replace("150 A", "20 A")
    assert result_of(small)["time to that, from cold"] == "never"
    assert result_of(small)["verdict"] == "stands it"


def test_too_much_is_told_with_a_caution():
    much = WINCH.replace("150 A", "400 A")
    assert result_of(much)["verdict"] == "too hot"
    assert "CAUTION" in run(much).output
    assert result_of(much)["time to that, from cold"] < 60


def test_air_hotter_than_the_insulation_is_told():
    assert run(WINCH.replace("40 degC", "120 degC")).exit_code == 2
    assert run(WINCH.replace("10 mm2", "9 mm2")).exit_code == 2
