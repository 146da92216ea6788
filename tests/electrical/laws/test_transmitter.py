"""Two-wire transmitters against makers' rules for the loop."""

import numpy as np
import pytest

from buildbook.electrical.laws.transmitter import Transmitter, starved_v


def test_250_ohm_asks_for_five_volts_more():
    """A maker's wiring sheet, read: with a 250 ohm load the supply is 5 V above the least."""
    sender = Transmitter(0.020, 9.0)
    for supply_v, kept in ((14.0, True), (13.0, False)):
        left_v = np.array([supply_v - 250.0 * 0.020])
        assert (float(sender.current_a(left_v)[0]) == pytest.approx(0.020)) is kept


def test_current_stays_while_volts_last():
    sender = Transmitter(0.012, 8.0)
    assert sender.current_a(np.array([8.0, 24.0])) == pytest.approx([0.012, 0.012])
    assert sender.branch(np.array([12.0])).siemens[0] < 1e-6


def test_starved_or_reversed_it_gives_less():
    sender = Transmitter(0.012, 8.0)
    assert sender.current_a(np.array([4.0, 0.0, -12.0])) == pytest.approx([0.006, 0.0, 0.0])


def test_loop_too_high_comes_to_rest_below_its_current():
    """20 mA, 8 V least, at 12 V through 400 ohm: alone 200 ohm would do (12 = 8 + 0.02 x 200)."""
    sender, volts = Transmitter(0.020, 8.0), np.array([12.0])
    for _ in range(20):
        branch = sender.branch(volts)
        volts = (12.0 / 400 - branch.amps) / (1 / 400 + branch.siemens)
    assert float(volts[0]) == pytest.approx(12 * 400 / 800)
    assert float(sender.current_a(volts)[0]) == pytest.approx((12 - float(volts[0])) / 400)


def test_its_resistor_shows_what_is_left_of_a_loop_too_low():
    """A starter that pulls 9.5 V: 20 mA in 250 ohm would be 5 V beside the 8 V that it needs.

    By Ohm's and Kirchhoff's laws with the law above: i = 0.02 (9.5 - 250 i) / 8, i = 14.6 mA.
    """
    amps = 0.02 * 9.5 / (8 + 0.02 * 250)
    assert starved_v(5.0, 9.5, 8.0) == pytest.approx(250 * amps)
    assert starved_v(1.0, 9.5, 8.0) == 1.0
    assert starved_v(5.0, 0.0, 8.0) == 0.0
