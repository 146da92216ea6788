"""Dynamos: the cut-out closes by volts and opens by current back."""

import numpy as np
import pytest

from buildbook.electrical.laws.dynamo import Dynamo

SIX_VOLT = Dynamo(7.9, 0.15, 10.0, 6.5, 1100.0)


def test_cut_out_waits_for_its_volts():
    rpm = np.array([900.0, 1100.0, 3000.0])
    assert SIX_VOLT.closed(rpm, np.full(3, 6.3), np.zeros(3, bool)).tolist() == [False, True, True]


def test_cut_out_holds_until_current_runs_back():
    """Closed at 1000 rpm it makes 5.9 V: against 6.3 V 2.6 A run back, against 6.6 V 4.6 A."""
    rpm = np.array([1000.0, 1000.0])
    assert SIX_VOLT.closed(rpm, np.array([6.3, 6.6]), np.ones(2, bool)).tolist() == [True, False]


def test_regulator_holds_its_volts_at_speed():
    assert SIX_VOLT.emf_v(np.array([4000.0])) == pytest.approx([7.9])


def test_it_gives_no_more_than_its_limit():
    branch = SIX_VOLT.branch(np.array([4000.0]), np.array([6.0]), np.array([True]))
    assert branch.current_a(np.array([6.0])) == pytest.approx([-10.0])


def test_open_it_takes_nothing():
    branch = SIX_VOLT.branch(np.array([0.0]), np.array([6.3]), np.array([True]))
    assert abs(float(branch.current_a(np.array([6.3]))[0])) < 1e-6
