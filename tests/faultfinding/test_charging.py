"""An alternator that does not reach the battery: the voltmeter, the lamp, and the hours left."""

from __future__ import annotations

import pytest

NOT_REACHED = ("open fuse:MF1", "open wire:112", "open pin:alternator.B+", "open alternator")
RUNNING = ("idle", "full load", "full load at night", "paddock check", "raining")


@pytest.mark.parametrize("fault", NOT_REACHED)
def test_the_battery_stands_below_its_rest_with_the_engine_running(lapwing, fault):
    """A full lead-acid battery rests at 12.7 V and is charged at 13.6 V and more (any workshop
    manual; from memory): under 12.7 V with the engine running says that nothing charges it."""
    finding = lapwing.faultfinding
    assert tuple(c.state for c in finding.charging[fault]) == RUNNING
    assert all(11.0 < c.battery_v < 12.7 < 13.3 < c.healthy_v for c in finding.charging[fault])
    assert fault not in finding.silent
    assert any(fault in symptom.suspects and symptom.charging for symptom in finding.symptoms)


@pytest.mark.parametrize("fault", NOT_REACHED)
def test_it_starts_for_half_its_charge_by_peukert(lapwing, fault):
    """t = H (C / (I H))^k by hand: 44 Ah over 20 h, k = 1.2, half of it used."""
    for state in lapwing.faultfinding.charging[fault]:
        flat_h = 20 * (44 / (state.drain_a * 20)) ** 1.2
        assert state.flat_h == pytest.approx(flat_h, rel=1e-6)
        assert state.last_start_h == pytest.approx(flat_h / 2, rel=1e-6)


def test_only_a_dead_alternator_lights_its_lamp(lapwing):
    """One that gives volts holds its lamp's end up even where they reach nothing."""
    lit = {
        fault: {e.load for e in lapwing.faultfinding.effects[fault] if e.effect == "stuck on"}
        for fault in NOT_REACHED
    }
    assert lit.pop("open alternator") == {"switch-panel.20"}
    assert set().union(*lit.values()) == set()
