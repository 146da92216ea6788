"""Permanent-magnet direct-current motors: standing, starting, running, and which way round."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildbook.electrical.laws.companion import Companion, Figure, tangent

STARTS_TIMES = 5.0
"""Stall current of a small motor, in running currents, where the sheet has none (from memory:
three to eight). Our choice."""
FAN, PUMP = 0.1, 0.7
"""Steady share of the load's torque: of air moved nearly none, at a regulated pressure most."""
STEADY = 0.5
"""Where nothing is said. Our choice."""


@dataclass(frozen=True)
class Motor:
    """A motor that takes `rated_a` at `rated_v` while it runs its load, and V / `ohms` at a stall.

    V = I R + k n and T = k I (the equations of any machine with a constant field, SI units). The
    load asks for a share `steady` of its torque at any speed and for the rest by speed squared.
    """

    rated_v: Figure
    rated_a: Figure
    ohms: Figure
    steady: Figure = STEADY

    @property
    def back_v(self) -> Figure:
        """Volts that it makes against its supply at rated speed."""
        return self.rated_v - self.rated_a * self.ohms

    def speed(self, volts: np.ndarray) -> np.ndarray:
        """Speed of the rated one at these volts; below zero it turns the other way.

        With x for speed, I = In (s + (1 - s) x^2) and V = I R + E x: a quadratic in x. It stands
        where V / R makes less torque than the load's steady share.
        """
        size = np.abs(volts)
        free_v = size - self.steady * self.rated_a * self.ohms
        square = (1 - self.steady) * self.rated_a * self.ohms
        root = np.sqrt(self.back_v**2 + 4 * square * np.maximum(free_v, 0.0))
        found: np.ndarray = np.sign(volts) * 2 * np.maximum(free_v, 0.0) / (self.back_v + root)
        return found

    def current_a(self, volts: np.ndarray) -> np.ndarray:
        """Current at rest at these volts, A, with their sign: running, or standing still."""
        size, speed = np.abs(volts), np.abs(self.speed(volts))
        running = self.rated_a * (self.steady + (1 - self.steady) * speed**2)
        taken: np.ndarray = np.sign(volts) * np.minimum(running, size / self.ohms)
        return taken

    def branch(self, volts: np.ndarray) -> Companion:
        """The tangent at these volts."""
        speed = np.abs(self.speed(volts))
        rise = 2 * (1 - self.steady) * self.rated_a * speed
        slope = np.where(speed > 0, rise / (rise * self.ohms + self.back_v), 1 / self.ohms)
        return tangent(volts, self.current_a(volts), slope)


def motor(
    rated_v: float, rated_a: float, stall_a: float | None = None, steady: float = STEADY
) -> Motor:
    """A motor from its sheet: stall (or starting) current at the same volts, A, where it has one.

    A stall current that is not above the rated one leaves no volts to run against: that is a
    resistance, and the motor then stands.
    """
    stall = STARTS_TIMES * rated_a if stall_a is None else max(stall_a, rated_a * 1.001)
    return Motor(rated_v, rated_a, rated_v / stall, steady)
