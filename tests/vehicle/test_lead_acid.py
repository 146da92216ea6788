"""Batteries against SAE J537 and published tables."""

import pytest

from buildbook.vehicle.lead_acid import (
    capacity_share,
    cold_ohms,
    ohms_at,
    open_circuit_v,
    warm_ohms,
)


@pytest.mark.parametrize(("charge", "volts"), [(1.0, 12.66), (0.75, 12.45), (0.5, 12.24)])
def test_open_circuit_volts_by_charge(charge, volts):
    """12.66 and 12.45 V from a public table, read; 12.24 from memory."""
    assert open_circuit_v(charge) == pytest.approx(volts, abs=0.02)


def test_sae_cold_cranking_current_leaves_7_2_v():
    """SAE J537 (read): the rated current at -18 degC with 7.2 V left."""
    left = open_circuit_v(1.0, -18.0) - 500 * ohms_at(warm_ohms(500), -18.0)
    assert left == pytest.approx(7.2)


def test_cranking_current_at_freezing_is_a_quarter_more():
    """Trade conversion (from memory): cranking amps at 0 degC = 1.25 x those at -18 degC."""
    freezing = (open_circuit_v(1.0, 0.0) - 7.2) / ohms_at(warm_ohms(500), 0.0)
    assert freezing == pytest.approx(1.25 * 500, rel=0.02)


def test_inner_ohms_of_a_usual_battery():
    """A starter battery of 500 A has 5 to 8 mohm warm (from memory)."""
    assert 0.005 < warm_ohms(500) < 0.008


def test_frost_takes_capacity():
    """40 percent left at 0 degF (read)."""
    assert capacity_share(-18.0) == pytest.approx(0.40)
    assert capacity_share(25.0) == 1.0


def test_six_volts_have_half_of_everything():
    assert open_circuit_v(1.0, nominal_v=6.0) == pytest.approx(6.325, abs=0.01)
    assert cold_ohms(300, nominal_v=6.0) == pytest.approx(cold_ohms(300) / 2)
