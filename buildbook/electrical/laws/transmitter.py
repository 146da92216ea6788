"""Two-wire transmitters of 4 to 20 mA: a current that their reading sets, volts permitting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildbook.electrical.laws.companion import Companion, tangent

LOW_A, HIGH_A = 0.004, 0.020
"""The live zero and the full scale of IEC 60381-1."""


@dataclass(frozen=True)
class Transmitter:
    """Draws `amps` while it has `needs_v` across it; below that in proportion to its volts.

    How one starved of volts behaves no standard says; it never draws what it should, and the
    wrong way round it draws nothing.
    """

    amps: float
    needs_v: float

    def current_a(self, volts: np.ndarray) -> np.ndarray:
        """Current at these volts, A."""
        share: np.ndarray = np.clip(volts / self.needs_v, 0.0, 1.0)
        return self.amps * share

    def branch(self, volts: np.ndarray) -> Companion:
        """The tangent at these volts."""
        starved = (volts > 0) & (volts < self.needs_v)
        slope = np.where(starved, self.amps / self.needs_v, 0.0)
        return tangent(volts, self.current_a(volts), slope)


def least_supply_v(loop_ohm: float, needs_v: float, amps: float = HIGH_A) -> float:
    """Least supply, V, at which the loop still carries `amps`: makers' rule V = Vmin + I R."""
    return needs_v + amps * loop_ohm


def amps_at(share: float) -> float:
    """Current for a share of full scale (0 to 1), A."""
    return LOW_A + (HIGH_A - LOW_A) * share
