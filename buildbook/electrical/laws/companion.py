"""The straight branch that stands for a device near the volts across it, one a case."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

Figure = float | np.ndarray
"""What a sheet says of one device; or a column, a place for each of several alike."""

LEAST_SIEMENS = 1e-9
"""Slope that keeps a branch in the network where its current does not follow its volts at all."""


@dataclass(frozen=True)
class Companion:
    """Current from a to b = `siemens` x volts from a to b + `amps`; arrays, one place a case.

    The tangent of a law at the present volts: a network of such branches, solved anew until the
    volts stay, is Newton's method (the companion models of nodal circuit simulators). Siemens
    are never below zero, so that the network can be eliminated without subtraction.
    """

    siemens: np.ndarray
    amps: np.ndarray

    def current_a(self, volts: np.ndarray) -> np.ndarray:
        """Current of the branch at these volts, A."""
        found: np.ndarray = self.siemens * volts + self.amps
        return found


def tangent(volts: np.ndarray, current_a: np.ndarray, slope: np.ndarray) -> Companion:
    """Companion that meets a law at `volts`, where it carries `current_a` and rises by `slope`."""
    siemens = np.maximum(slope, LEAST_SIEMENS)
    return Companion(siemens, current_a - siemens * volts)
