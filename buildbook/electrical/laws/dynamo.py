"""Dynamos with a voltage regulator and a cut-out that joins them to the battery."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildbook.electrical.laws.companion import LEAST_SIEMENS, Companion

CUT_IN_SHARE = 1.07
"""Cut-in volts of nominal ones: 12.7 to 13.3 V at 12 V, 6.3 to 6.7 V at 6 V (makers' workshop
manuals, from memory)."""
REVERSE_A = 4.0
"""Current back into the dynamo at which the cut-out opens; 3 to 5 A (from memory)."""


@dataclass(frozen=True)
class Dynamo:
    """Makes volts by speed up to `regulated_v`, gives up to `limit_a`; its cut-out joins it.

    `cut_in_rpm` is the speed at which it makes `cut_in_v` with nothing connected.
    """

    regulated_v: float
    ohms: float
    limit_a: float
    cut_in_v: float
    cut_in_rpm: float
    reverse_a: float = REVERSE_A

    def emf_v(self, rpm: np.ndarray) -> np.ndarray:
        """Volts that it makes at a speed: in proportion, until the regulator holds them."""
        free = self.cut_in_v * rpm / self.cut_in_rpm
        found: np.ndarray = np.minimum(free, self.regulated_v)
        return found

    def closed(self, rpm: np.ndarray, output_v: np.ndarray, was_closed: np.ndarray) -> np.ndarray:
        """Whether the cut-out is closed: by volts when it was open, by reverse current when not."""
        emf = self.emf_v(rpm)
        back_a = (output_v - emf) / self.ohms
        found: np.ndarray = np.where(was_closed, back_a < self.reverse_a, emf >= self.cut_in_v)
        return found

    def branch(self, rpm: np.ndarray, output_v: np.ndarray, was_closed: np.ndarray) -> Companion:
        """From its plus to its minus, through the cut-out; at its limit it gives that."""
        emf, on = self.emf_v(rpm), self.closed(rpm, output_v, was_closed)
        full = on & ((emf - output_v) / self.ohms > self.limit_a)
        joined = on & ~full
        siemens = np.where(joined, 1 / self.ohms, LEAST_SIEMENS)
        amps = np.where(joined, -emf / self.ohms, np.where(full, -self.limit_a, 0.0))
        return Companion(siemens, amps)
