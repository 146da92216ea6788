"""Pulsed drivers and loads as the constant resistance that makes the same mean, or rms, current.

Let a driver of `R_on` be closed for a share d of the time, and let its two terminals see the rest
of the network as a source V behind R_th (Thevenin). Open it carries nothing, closed
I_on = V / (R_th + R_on): the mean is d I_on, the rms sqrt(d) I_on, both d^p I_on with p = 1 and
p = 1/2. A constant resistance R carries V / (R_th + R), which is the same where

    R = (R_th + R_on) / d^p - R_th.

By substitution (a branch may be replaced by a source of its current) and superposition every
node's volts are a constant plus a share of that current, so that with the mean current every node
has its mean volts. Coils and capacitors alter no mean: over a period their own means are nothing.
Of several pulsed branches each sees the others conduct; what they share makes the volts that each
sees a little other than their mean, by the share of R_th that is shared times the others' swing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildbook.electrical.elimination import Elimination


def standing_ohms(on_ohms: np.ndarray, thevenin: np.ndarray, share: np.ndarray) -> np.ndarray:
    """The constant resistance for pulses; `share` is duty to the power of the mean wanted."""
    standing: np.ndarray = (thevenin + on_ohms) / share - thevenin
    return standing


@dataclass(frozen=True)
class Pairs:
    """Pulsed branches in networks: `row` of the branch, `column` of the network, one a pair."""

    row: np.ndarray
    column: np.ndarray
    on_ohms: np.ndarray
    share: np.ndarray

    def some(self, which: np.ndarray) -> Pairs:
        return Pairs(self.row[which], self.column[which], self.on_ohms[which], self.share[which])


@dataclass(frozen=True)
class Pulsing:
    """Networks of one shape with pulsed branches in them.

    `ends` are the nodes of every branch, -1 for the reference; `siemens` (branches x networks)
    and `injected_a` (nodes x networks) as for `Elimination.solve`.
    """

    elimination: Elimination
    ends: np.ndarray
    siemens: np.ndarray
    injected_a: np.ndarray

    def thevenin_ohms(self, pairs: Pairs) -> np.ndarray:
        """What each pair's terminals see while the others conduct: volts of an ampere put in."""
        count = np.arange(len(pairs.row))
        every = self.siemens.copy()
        every[pairs.row, pairs.column] = 1 / pairs.on_ohms
        siemens = every[:, pairs.column]
        siemens[pairs.row, count] = 0.0
        pushed = np.zeros((self.elimination.node_count + 1, len(pairs.row)))
        pushed[self.ends[pairs.row, 0], count] += 1.0
        pushed[self.ends[pairs.row, 1], count] -= 1.0
        volts = self.elimination.solve(siemens, pushed[:-1])
        padded = np.vstack([volts, np.zeros(len(pairs.row))])
        seen: np.ndarray = (
            padded[self.ends[pairs.row, 0], count] - padded[self.ends[pairs.row, 1], count]
        )
        return seen

    def mean_volts(self, pairs: Pairs) -> np.ndarray:
        """Volts, nodes x networks, once each pair in `siemens`, altered, stands for its pulses."""
        standing = standing_ohms(pairs.on_ohms, self.thevenin_ohms(pairs), pairs.share)
        self.siemens[pairs.row, pairs.column] = 1 / standing
        return self.elimination.solve(self.siemens, self.injected_a)
