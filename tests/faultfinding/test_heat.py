"""How hot a poor joint gets, against a wire cut into short pieces and summed up."""

from __future__ import annotations

import numpy as np
import pytest

from buildbook.faultfinding.heat import AIM_K, AIR_C, COPPER_W_PER_M_K, carries_off_w_per_k
from buildbook.sizing.finished_runs import conductor_of
from buildbook.sizing.heat_balance import heat_w_per_m

PIECES, LENGTH_M = 1500, 1.5


def test_a_wire_carries_off_what_its_pieces_shed(two_wire):
    """Pieces of a millimetre: each hands on copper's heat and sheds its own to the air."""
    vehicle, sizing = two_wire.vehicle, two_wire.sizing
    for wire, sized in list(sizing.wires.items())[:1]:
        conductor = conductor_of(vehicle, sized)
        step = LENGTH_M / PIECES
        along = COPPER_W_PER_M_K * conductor.copper_mm2 * 1e-6 / step
        shed = heat_w_per_m(conductor, AIR_C + AIM_K, AIR_C) / AIM_K * step
        net = np.diag(np.full(PIECES, 2 * along + shed))
        net -= along * (np.eye(PIECES, k=1) + np.eye(PIECES, k=-1))
        rise = np.linalg.solve(net, np.eye(PIECES)[0] * along)
        found = carries_off_w_per_k(vehicle, two_wire.harness, sizing, wire)
        assert found == pytest.approx(along * (1 - rise[0]), rel=0.02)


def test_a_bad_nut_at_the_alternator_is_a_symptom_of_heat(lapwing):
    """10 mohm with the alternator's 40 to 60 A: I squared R by hand is 16 to 36 W."""
    finding = lapwing.faultfinding
    fault = "hot pin:alternator.B+"
    assert finding.faults[fault].ohms == 0.01
    assert all(10 < hot.watts < 40 and hot.rise_k >= AIM_K for hot in finding.hot[fault])
    (symptom,) = (s for s in finding.symptoms if fault in s.suspects)
    assert symptom.hot and not symptom.effects and fault not in finding.silent


def test_nothing_is_hot_that_carries_nothing(lapwing):
    """A contact that is open in a state has the whole voltage across it and no heat in it."""
    for fault, states in lapwing.faultfinding.hot.items():
        branch = lapwing.faultfinding.faults[fault].branch
        for hot in states:
            assert abs(lapwing.solved.meter[hot.state].current_a.get(branch, 0.0)) > 0.1
