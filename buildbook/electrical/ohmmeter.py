"""What an ohmmeter shows between two nodes of a vehicle whose battery is off."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from buildbook.electrical.case import Case
from buildbook.electrical.settle import Settler

OPEN_OHMS = 1e6
"""From here on a meter's reading is called open: leads, fingers and damp make as much. Our
choice."""

WHILE_ON = 0.0
"""Power of a load's duty that leaves its ohms as they are: no pulses without a supply."""


def ohms_between(
    settler: Settler, state: str, opened: Iterable[str], pairs: Sequence[tuple[str, str]]
) -> list[float]:
    """Ohms between each pair of nodes, switches as in `state`, the branches in `opened` out.

    Relays, drivers and the supplies that controllers give out need the battery, so they are open
    (a relay's break contact is closed). Filaments are cold and motors stand. One ampere goes in
    at the first node and out at the second: the volts between them are the ohms.
    """
    if not pairs:
        return []
    sources = {source.id for source in settler.prepared.network.sources}
    case = Case(state, WHILE_ON, frozenset(opened) | sources)
    settled = settler.settle([case])
    conducts = _at_rest(settler, settled.siemens[:, :1]) * settled.on[:, :1]
    none = np.zeros((len(settler.prepared.network.sources), 1))
    siemens = np.repeat(np.vstack([conducts, none]), len(pairs), axis=1)
    injected = np.zeros((len(settler.prepared.network.nodes) + 1, len(pairs)))
    ends = [(settler.prepared.index[a], settler.prepared.index[b]) for a, b in pairs]
    for column, (a, b) in enumerate(ends):
        injected[a, column] += 1.0
        injected[b, column] -= 1.0
    volts = np.vstack(
        [settler.prepared.elimination.solve(siemens, injected[:-1]), np.zeros(len(pairs))]
    )
    return [float(volts[a, i] - volts[b, i]) for i, (a, b) in enumerate(ends)]


def _at_rest(settler: Settler, siemens: np.ndarray) -> np.ndarray:
    """Siemens of every element with no volts across it; what has a law of its own by that."""
    found = siemens.copy()
    for row, element in enumerate(settler.prepared.network.elements):
        if element.law is not None:
            found[row] = element.law.branch(np.zeros(1)).siemens
    return found
