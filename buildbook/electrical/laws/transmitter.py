"""Two-wire transmitters of 4 to 20 mA: a current that their reading sets, volts permitting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildbook.electrical.laws.companion import Companion, Figure, tangent


@dataclass(frozen=True)
class Transmitter:
    """Draws `amps` while it has `needs_v` across it; below that in proportion to its volts.

    How one starved of volts behaves no standard says; it never draws what it should, and the
    wrong way round it draws nothing.
    """

    amps: Figure
    needs_v: Figure

    def current_a(self, volts: np.ndarray) -> np.ndarray:
        """Current at these volts, A."""
        share: np.ndarray = np.clip(volts / self.needs_v, 0.0, 1.0)
        return self.amps * share

    def branch(self, volts: np.ndarray) -> Companion:
        """The tangent at these volts."""
        starved = (volts > 0) & (volts < self.needs_v)
        slope = np.where(starved, self.amps / self.needs_v, 0.0)
        return tangent(volts, self.current_a(volts), slope)


def starved_v(full_v: float, loop_v: float, needs_v: float) -> float:
    """Volts over a loop's resistor, where at the full current they would be `full_v`.

    With `loop_v` for both the transmitter has loop_v - v. Where that is less than what it needs it
    draws in proportion to it, and so v = full_v (loop_v - v) / needs_v.
    """
    if full_v <= 0 or loop_v - full_v >= needs_v:
        return full_v
    return full_v * max(loop_v, 0.0) / (needs_v + full_v)
