"""Between what pulses swing the volts: each pulsed branch held on, held off, the rest as it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from buildbook.electrical.case import Case, Settled
from buildbook.electrical.settle import Settler

LEAST_V = 1e-3
"""A swing below this is none."""


@dataclass(frozen=True)
class Swing:
    """Volts between two nodes while pulses last: the least, the mean that a meter shows, the most.

    `by` are the branches (`contact:…`, `load:…`) that swing it, the one that does most first;
    `frequency_hz` is that one's, None where it is not said.
    """

    low_v: float
    mean_v: float
    high_v: float
    by: tuple[str, ...]
    frequency_hz: float | None
    alone_v: tuple[float, float]
    """Least and most while that one pulses and the others stand at their mean."""


@dataclass(frozen=True)
class Swings:
    """One settled network while its pulsed branches are held on, and held off.

    Contacts and supply stay where they are: a pulse is over before they move.
    """

    index: Mapping[str, int]
    """Node -> its place; -1 for the reference."""
    mean_v: np.ndarray
    held_v: Mapping[str, tuple[np.ndarray, np.ndarray]]
    """Pulsed branch -> volts of the nodes with it on, and off; last place zero."""
    frequency_hz: Mapping[str, float | None]

    def across(self, plus: str, minus: str) -> Swing | None:
        """From one node to another; None where nothing swings the volts between them.

        Pulses of several keep no step, so what each adds to the mean may come together.
        """
        a, b = self.index[plus], self.index[minus]
        mean = low = high = float(self.mean_v[a] - self.mean_v[b])
        found: list[tuple[float, str]] = []
        for branch, (on, off) in self.held_v.items():
            ends = on[a] - on[b] - mean, off[a] - off[b] - mean
            if (swing := abs(ends[0] - ends[1])) >= LEAST_V:
                low, high = low + min(ends), high + max(ends)
                found.append((-swing, branch))
        by = tuple(branch for _, branch in sorted(found))
        if not by:
            return None
        least, most = sorted(float(v[a] - v[b]) for v in self.held_v[by[0]])
        return Swing(low, mean, high, by, self.frequency_hz[by[0]], (least, most))


def swings(settler: Settler, cases: Sequence[Case], settled: Settled) -> list[Swings]:
    """What pulses do in each settled case, solved with each of its pulsed branches on and off."""
    prepared = settler.prepared
    siemens, injected = settler.at_rest(cases, settled)
    pulses = prepared.pulses(cases)
    pulsing = settled.on[pulses.rows] & (pulses.share < 1)
    place, column = np.nonzero(pulsing)
    row = pulses.rows[place]
    each = np.arange(len(row))
    held = []
    for value in (1 / pulses.on_ohms[place, column], np.zeros(len(row))):
        altered = siemens[:, column]
        altered[row, each] = value
        volts = prepared.elimination.solve(altered, injected[:, column])
        held.append(np.vstack([volts, np.zeros(len(row))]))
    elements = prepared.network.elements
    mean = np.vstack([settled.volts, np.zeros(len(cases))])
    return [
        Swings(
            prepared.index,
            mean[:, case],
            {
                elements[row[i]].branch.id: (held[0][:, i], held[1][:, i])
                for i in np.flatnonzero(column == case)
            },
            {
                elements[row[i]].branch.id: elements[row[i]].frequency_hz
                for i in np.flatnonzero(column == case)
            },
        )
        for case in range(len(cases))
    ]
