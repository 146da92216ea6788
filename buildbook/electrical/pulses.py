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

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

Seen = Callable[[np.ndarray], np.ndarray]
"""What all pulsed branches see of networks (branches x networks) with them open, as of `Ports`."""


@dataclass(frozen=True)
class Pulses:
    """Pulsed branches of networks, branches x networks.

    `share` is duty to the power of the mean wanted (1 for an average, 1/2 for rms), 1 for what
    conducts all the time.
    """

    rows: np.ndarray
    """Among the branches of the network."""
    on_ohms: np.ndarray
    share: np.ndarray

    def some(self, which: np.ndarray | slice) -> Pulses:
        return Pulses(self.rows, self.on_ohms[:, which], self.share[:, which])

    def stand(self, siemens: np.ndarray, seen: Seen) -> np.ndarray:
        """Siemens of the branches, those that conduct in `siemens` standing for their pulses.

        `siemens` is that of all branches of the network, branches x networks.
        """
        now: np.ndarray = siemens[self.rows]
        on = (now > 0) & (self.share < 1)
        if not on.any():
            return now
        open_ = siemens.copy()
        open_[self.rows] = np.where(on, 0.0, now)
        loop = loops_ohms(seen(open_), self.on_ohms.T, on.T).T
        standing: np.ndarray = np.where(on, 1 / standing_ohms(self.on_ohms, loop, self.share), now)
        return standing


def standing_ohms(on_ohms: np.ndarray, loop_ohms: np.ndarray, share: np.ndarray) -> np.ndarray:
    """The constant resistance for pulses, from R_th + R_on.

    `share` is duty to the power of the mean wanted.
    """
    standing: np.ndarray = loop_ohms / share - loop_ohms + on_ohms
    return standing


def loops_ohms(seen: np.ndarray, on_ohms: np.ndarray, on: np.ndarray) -> np.ndarray:
    """R_th + R_on of each pulsed branch, networks x branches, while the others conduct.

    `seen` (networks x branches x branches) is what they see of the network with all of them open
    (`Ports`), `on_ohms` and `on` (those there are) networks x branches. By elimination of the
    others' currents it is the reciprocal of an entry of the inverse of `seen` + R_on.
    """
    both = on[:, :, None] & on[:, None, :]
    places = np.arange(on.shape[1])
    whole = np.where(both, seen, 0.0)
    whole[:, places, places] += np.where(on, on_ohms, 1.0)
    found: np.ndarray = 1 / inverses(whole)[:, places, places]
    return found


def inverses(matrices: np.ndarray) -> np.ndarray:
    """Of matrices that are symmetric and positive definite, as resistances seen are.

    By sweeps of their diagonals (Gauss and Jordan; no other pivots are needed then), summed alike
    by every processor, as a linear algebra library does not: the last bits would stand in exports.
    """
    found = matrices.copy()
    for k in range(found.shape[1]):
        pivot = found[:, k, k].copy()
        row = found[:, k, :] / pivot[:, None]
        column = found[:, :, k].copy()
        found -= column[:, :, None] * row[:, None, :]
        found[:, k, :] = row
        found[:, :, k] = -column / pivot[:, None]
        found[:, k, k] = 1 / pivot
    return found
