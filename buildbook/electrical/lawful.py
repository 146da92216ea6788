"""Loads whose current follows their volts by a law of their own, in many cases at a time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildbook.electrical.laws.of_load import Law

NEAR_V = 5e-3
"""A tangent taken so near the volts that come out is right: what it is off by goes with the square,
some tenths of a microampere of a lamp."""
NEAR_PULSED_V = 1e-5
"""The same of a resistance that stands for pulses: it is off in proportion."""
LEAST_V = 1e-6
"""Below this a load counts as without volts: cold, or standing still."""


@dataclass(frozen=True)
class Lawful:
    """The loads with laws of a network, one row each.

    `share` (rows x cases) is the share of its volts while on that stands across a load on
    average: 1 but for those that a driver pulses.
    """

    rows: np.ndarray
    """Places among the branches of the network."""
    laws: tuple[Law, ...]

    def near(self, share: np.ndarray) -> np.ndarray:
        """Volts within which a branch need not be found anew."""
        return np.where(share < 1, NEAR_PULSED_V, NEAR_V)

    def tangents(self, volts: np.ndarray, share: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Siemens and amps (from a to b, beside them) near these volts, rows x cases.

        What is pulsed is a resistance, that of the volts while it is on.
        """
        siemens, amps = self.resistances(volts, share), np.zeros_like(volts)
        for row, law in enumerate(self.laws):
            straight = law.branch(volts[row])
            steady = share[row] >= 1
            siemens[row] = np.where(steady, straight.siemens, siemens[row])
            amps[row] = np.where(steady, straight.amps, 0.0)
        return siemens, amps

    def resistances(self, volts: np.ndarray, share: np.ndarray) -> np.ndarray:
        """Siemens of the resistances that take the same current at these volts."""
        siemens = np.zeros_like(volts)
        while_on = volts / share
        for row, law in enumerate(self.laws):
            size = np.maximum(np.abs(while_on[row]), LEAST_V)
            siemens[row] = law.current_a(size) / size
        return siemens


def next_volts(found: np.ndarray, before: np.ndarray) -> np.ndarray:
    """Volts at which to take the next tangents: none where they turned round.

    A tangent at full volts drives a load that has lost its feed past zero and back; without
    volts it is a resistance, which brings it to rest at once.
    """
    return np.where(found * before < 0, 0.0, found)
