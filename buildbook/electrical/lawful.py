"""Loads whose current follows their volts by a law of their own, in many cases at a time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildbook.electrical.laws.of_load import Law
from buildbook.electrical.laws.transmitter import Transmitter

NEAR_SHARE = 1e-4
"""Of its volts: a tangent taken so near those that come out is right, because what it is off by
goes with the square, a billionth of the current of a lamp."""
NEAR_V = 1e-5
"""The same without volts, and where a resistance stands for a pulsed load, which is off in
proportion."""
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


def full_v(law: Law) -> float:
    """Volts at which it does what its sheet says."""
    return law.needs_v if isinstance(law, Transmitter) else law.rated_v


def is_off(found: np.ndarray, taken: np.ndarray, driven: np.ndarray) -> np.ndarray:
    """Loads whose volts are not those that their branch was taken for; `driven` are pulsed."""
    near = np.where(driven, 0.0, NEAR_SHARE) * np.abs(taken) + NEAR_V
    off: np.ndarray = np.abs(found - taken) > near
    return off


def next_volts(found: np.ndarray, before: np.ndarray) -> np.ndarray:
    """Volts at which to take the next tangents: none where they turned round.

    A tangent at full volts drives a load that has lost its feed past zero and back; without
    volts it is a resistance, which brings it to rest at once.
    """
    return np.where(found * before < 0, 0.0, found)
