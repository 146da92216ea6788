"""Loads whose current follows their volts by a law of their own, in many cases at a time."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np

from buildbook.electrical.laws.companion import Figure
from buildbook.electrical.laws.of_load import Law
from buildbook.electrical.laws.transmitter import Transmitter

NEAR_SHARE = 1e-4
"""Of its volts: a tangent taken so near those that come out is right, because what it is off by
goes with the square, a billionth of the current of a lamp."""
NEAR_V = 1e-6
"""The same without volts."""
NEAR_PULSED_V = 1e-5
"""The same of a resistance that stands for a pulsed load: it is off in proportion."""
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

    def tangents(
        self, volts: np.ndarray, share: np.ndarray, flat: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Siemens and amps (from a to b, beside them) near these volts, rows x cases.

        What is pulsed is a resistance, that of the volts while it is on, and so is what is flat.
        """
        siemens, amps = self.resistances(volts, share), np.zeros_like(volts)
        steady = (share >= 1) & ~flat
        for rows, law in self._alike:
            straight = law.branch(volts[rows])
            siemens[rows] = np.where(steady[rows], straight.siemens, siemens[rows])
            amps[rows] = np.where(steady[rows], straight.amps, 0.0)
        return siemens, amps

    def resistances(self, volts: np.ndarray, share: np.ndarray) -> np.ndarray:
        """Siemens of the resistances that take the same current at these volts."""
        siemens = np.zeros_like(volts)
        size = np.maximum(np.abs(volts / share), LEAST_V)
        for rows, law in self._alike:
            siemens[rows] = law.current_a(size[rows]) / size[rows]
        return siemens

    @cached_property
    def _alike(self) -> list[tuple[np.ndarray, Law]]:
        """The rows of each kind of law, and one law whose figures are columns of all theirs."""
        kinds = dict.fromkeys(type(law) for law in self.laws)
        found: list[tuple[np.ndarray, Law]] = []
        for kind in kinds:
            rows = [row for row, law in enumerate(self.laws) if type(law) is kind]
            columns = {
                part.name: np.array([[getattr(self.laws[row], part.name)] for row in rows])
                for part in fields(kind)
            }
            found.append((np.array(rows, dtype=np.intp), kind(**columns)))
        return found


def full_v(law: Law) -> Figure:
    """Volts at which it does what its sheet says."""
    return law.needs_v if isinstance(law, Transmitter) else law.rated_v


def is_off(
    found: np.ndarray, taken: np.ndarray, flat: np.ndarray, driven: np.ndarray
) -> np.ndarray:
    """Loads whose volts are not those that their branch was taken for; `driven` are pulsed."""
    wanted = np.where(flat, 0.0, taken)
    near = np.where(driven, NEAR_PULSED_V, NEAR_SHARE * np.abs(wanted) + NEAR_V)
    off: np.ndarray = np.abs(found - wanted) > near
    return off


def retaken(
    found: np.ndarray, taken: np.ndarray, flat: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Volts at which to take the next branches, and which of these are flat.

    A tangent at full volts drives a load that has lost its feed past zero and back. It becomes
    flat: the resistance of those volts, which brings it to rest at once, and is still right
    should the feed come back.
    """
    lost = (found * taken <= 0) & (taken != 0) & ~flat
    return np.where(lost, taken, found), lost
