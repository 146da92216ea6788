"""Relay coils: hysteresis, and what heat does to it."""

import numpy as np
import pytest

from buildbook.electrical.laws.relay import Coil

COIL = Coil(90.0, 7.2, 3.6)


def test_it_holds_between_release_and_pull_in():
    volts = np.array([7.3, 5.0, 5.0, 3.5, -7.3])
    was = np.array([False, False, True, True, False])
    assert COIL.pulled(volts, was).tolist() == [True, False, True, False, True]


def test_hot_coil_pulls_in_at_its_current():
    """At 105 degC copper has 1.334 times its ohms at 20 degC (IEC 60028)."""
    hot = COIL.at(105.0)
    assert hot.ohms == pytest.approx(90 * 1.334, rel=1e-3)
    assert hot.pull_in_v / hot.ohms == pytest.approx(7.2 / 90)
    assert hot.pull_in_v == pytest.approx(9.605, rel=1e-3)


def test_cold_coil_pulls_in_sooner():
    assert COIL.at(-18.0).pull_in_v == pytest.approx(7.2 * (1 - 0.00393 * 38))
