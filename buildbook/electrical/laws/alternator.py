"""Alternators: what their regulator holds and where, how much they can give, and their lamp."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildbook.electrical.case import LIMITED, OFF, REGULATING
from buildbook.electrical.laws.companion import LEAST_SIEMENS, Companion

SENSE_LOST_V = 0.5
"""Held above the regulated volts, at its own output, once nothing comes down the sense wire:
'slightly greater than specified' (makers' manuals, read); half a volt is our choice."""
SENSES_SHARE = 0.5
"""Of the regulated volts: with less on the sense wire a regulator takes it for broken. Memory."""
SELF_EXCITES_TIMES = 3.0
"""Times the speed of first output at which one excites itself by what magnetism is left, the lamp
circuit being open (from memory; some never do)."""
HELD_OHM = 1e-5
"""Behind the volts of a machine that makes up for what is lost as far as the sensed place."""


@dataclass(frozen=True)
class Alternator:
    """Holds `regulated_v` where it senses, gives up to a limit; `cut_in_rpm` is where it begins.

    One that `senses` elsewhere makes up for what is lost on the way and inside it; one that does
    not holds its own output, which falls by `ohms`.
    """

    regulated_v: float
    ohms: float
    cut_in_rpm: float
    senses: bool

    def makes(self, rpm: np.ndarray, excited: np.ndarray) -> np.ndarray:
        """Whether it generates at these engine speeds, its field excited through the lamp or not.

        One that does not holds its lamp terminal to its minus, so that the lamp lights; on one
        that does, the terminal stands at the output's volts (makers' manuals, read).
        """
        from_rpm = np.where(excited, 1.0, SELF_EXCITES_TIMES) * self.cut_in_rpm
        found: np.ndarray = (rpm > 0) & (rpm >= from_rpm)
        return found

    def source(self, output_v: np.ndarray, sensed_v: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Volts and the ohms behind which they stand, while it regulates.

        `output_v` and `sensed_v` as they stood last: repeated, both come to rest, because the
        difference between them follows from the current alone. A broken sense wire senses nothing.
        """
        hears = sensed_v >= SENSES_SHARE * self.regulated_v if self.senses else False
        heard = np.broadcast_to(np.asarray(hears), output_v.shape)
        deaf_v = SENSE_LOST_V if self.senses else 0.0
        made_up = np.where(heard, output_v - sensed_v, deaf_v)
        return self.regulated_v + made_up, np.where(heard, HELD_OHM, self.ohms)

    def mode(
        self,
        was: np.ndarray,
        given_a: np.ndarray,
        output_v: np.ndarray,
        sensed_v: np.ndarray,
        limit_a: np.ndarray,
    ) -> np.ndarray:
        """OFF, REGULATING or LIMITED from where it was, the amps it then gave and the volts.

        While it regulates the amps decide. Otherwise they say nothing of what it would give: it
        goes back to regulating where the volts have gone past what it holds, and only then off.
        """
        emf, ohms = self.source(output_v, sensed_v)
        regulating = np.where(given_a > limit_a, LIMITED, np.where(given_a < 0, OFF, REGULATING))
        over = output_v > emf - ohms * limit_a
        limited = np.where(over, REGULATING, LIMITED)
        off = np.where(output_v < emf, REGULATING, OFF)
        found: np.ndarray = np.choose(was, [off, regulating, limited])
        return np.where(limit_a > 0, found, OFF)

    def branch(
        self, mode: np.ndarray, output_v: np.ndarray, sensed_v: np.ndarray, limit_a: np.ndarray
    ) -> Companion:
        """From its plus to its minus: regulating, at its limit, or nothing (its diodes block)."""
        emf, ohms = self.source(output_v, sensed_v)
        regulates = mode == REGULATING
        siemens = np.where(regulates, 1 / ohms, LEAST_SIEMENS)
        amps = np.where(regulates, -emf / ohms, np.where(mode == LIMITED, -limit_a, 0.0))
        return Companion(siemens, amps)
