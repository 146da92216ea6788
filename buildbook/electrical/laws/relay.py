"""Relay coils: the volts that pull in and those that let go, by the coil's temperature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

COPPER_PER_K = 0.00393
"""Of resistance at 20 degC (IEC 60028)."""
STATED_AT_C = 20.0
"""Coil temperature for which sheets give pull-in and release (IEC 61810-1 takes 23 degC)."""
PULLS_IN = 0.6
"""Of rated volts, at most (makers' usual figure for vehicle relays, read)."""
DROPS_OUT = 0.3
"""Of rated volts. Sheets state 10 percent, at which every relay has let go (read); most let go
at about half of what pulled them in. Our choice."""


@dataclass(frozen=True)
class Coil:
    """A coil of `ohms` at 20 degC that pulls in at `pull_in_v` and lets go at `drop_out_v`."""

    ohms: float
    pull_in_v: float
    drop_out_v: float

    def at(self, coil_c: float) -> Coil:
        """The coil at a temperature, degC: its amperes count, so its volts rise as its ohms."""
        times = 1 + COPPER_PER_K * (coil_c - STATED_AT_C)
        return Coil(self.ohms * times, self.pull_in_v * times, self.drop_out_v * times)

    def pulled(self, volts: np.ndarray, was_pulled: np.ndarray) -> np.ndarray:
        """Whether it is pulled in at these volts, of either sign, given where it was."""
        size = np.abs(volts)
        found: np.ndarray = (size >= self.pull_in_v) | (was_pulled & (size > self.drop_out_v))
        return found
