"""Filament lamps: cold resistance, and the power law of tungsten at white heat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildbook.electrical.laws.companion import Companion, Figure, tangent

CURRENT_EXPONENT = 0.55
"""Current by volts, of the rated ones: I / In = (V / Vn)^0.55 (Fink and Beaty, Standard Handbook
for Electrical Engineers, 11th edition, 22-8; read from a public page that cites it)."""
HOT_TO_COLD = 14.0
"""Resistance at rated volts of that at room temperature. Tungsten at 2700 K has 14.4 times that
at 300 K (Jones and Langmuir's table, from memory); a lamp of 40 W was read to have 12.9 times."""


@dataclass(frozen=True)
class Filament:
    """A lamp that takes `rated_a` at `rated_v`; `cold_ohm` at room temperature."""

    rated_v: Figure
    rated_a: Figure
    cold_ohm: Figure

    def current_a(self, volts: np.ndarray) -> np.ndarray:
        """Current at rest at these volts, A; either way round, with the sign of the volts.

        The power law, but never more than the cold filament lets through. Below a tenth of its
        rated volts the gas cools a real filament, which then takes more than this.
        """
        size = np.abs(volts)
        cold, hot = size / self.cold_ohm, self._hot_a(size)
        taken: np.ndarray = np.sign(volts) * np.minimum(cold, hot)
        return taken

    def branch(self, volts: np.ndarray) -> Companion:
        """The tangent at these volts."""
        size = np.maximum(np.abs(volts), 1e-12)
        hot = self._hot_a(size)
        glows = hot < size / self.cold_ohm
        slope = np.where(glows, CURRENT_EXPONENT * hot / size, 1 / self.cold_ohm)
        return tangent(volts, self.current_a(volts), slope)

    def _hot_a(self, size: np.ndarray) -> np.ndarray:
        found: np.ndarray = self.rated_a * (size / self.rated_v) ** CURRENT_EXPONENT
        return found


def filament(rated_v: float, rated_a: float, cold_ohm: float | None = None) -> Filament:
    """A filament from its rating; without a cold resistance (ohms) that of its temperature."""
    hot_ohm = rated_v / rated_a
    return Filament(rated_v, rated_a, hot_ohm / HOT_TO_COLD if cold_ohm is None else cold_ohm)
