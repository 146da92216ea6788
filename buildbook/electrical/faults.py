"""The settled network of one state with any of its branches opened or changed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from buildbook.electrical.case import METER, Case
from buildbook.electrical.model import Branch, Solution, Solved
from buildbook.electrical.network import Element, Network
from buildbook.electrical.settle import Settler

SHORT_OHMS = 0.01
"""A chafed wire on the body: bare copper on bright steel (memory)."""


class StateNetwork:
    """One state, as a meter reads it, and the same with faults.

    Every fault settles its relays, controllers, battery and alternator anew from the start.
    The single opens of a state are worked out side by side the first time that one is asked
    for: the network's order of elimination is shared, so all of them cost little more than one.
    """

    def __init__(self, settler: Settler, state: str, healthy: Solution) -> None:
        self.state = state
        self.nodes: tuple[str, ...] = settler.prepared.network.nodes
        """Order of the arrays; the reference node, always 0 V, is not in it."""
        self._settler = settler
        self.healthy = healthy
        self._single: dict[str, np.ndarray] = {}

    def branch_ids(self) -> tuple[str, ...]:
        """Everything that can be opened in this state: what conducts while all is well."""
        return tuple(self.healthy.branches)

    def ends_of(self, branch_id: str) -> tuple[str, str]:
        """The two nodes of any branch, conducting or not."""
        branch = self._settler.prepared.network.elements[
            self._settler.prepared.row[branch_id]
        ].branch
        return branch.a, branch.b

    def control_of(self, branch_id: str) -> tuple[tuple[str, str], float]:
        """The nodes of the volts that keep a branch conducting, and how many it takes.

        Without limit where nothing switches it.
        """
        element = self._settler.prepared.network.elements[self._settler.prepared.row[branch_id]]
        reference = self._settler.prepared.network.reference
        if element.control is None:
            return (reference, reference), -math.inf
        return element.control, element.control_v

    def open(self, branch_ids: Iterable[str]) -> dict[str, float]:
        """Node voltages with the branches open; volts against the battery's negative."""
        return self._named(self.open_array(branch_ids))

    def open_array(self, branch_ids: Iterable[str]) -> np.ndarray:
        """As `open`, in the order of `nodes`."""
        ids = frozenset(branch_ids)
        if len(ids) != 1:
            return self.open_each([ids])[0]
        (one,) = ids
        if not self._single:
            sources = self._settler.prepared.network.sources
            names = [*self._settler.prepared.row, *(source.id for source in sources)]
            arrays = self.open_each([frozenset([name]) for name in names])
            self._single = dict(zip(names, arrays, strict=True))
        return self._single[one]

    def open_each(self, faults: Sequence[Iterable[str]]) -> list[np.ndarray]:
        """Node voltages for each set of opened branches, settled side by side."""
        return self._settle([Case(self.state, METER, frozenset(f)) for f in faults])

    def change_each(self, faults: Sequence[Mapping[str, float]]) -> list[np.ndarray]:
        """Node voltages for each set of branches given other ohms (a bad joint)."""
        return self._settle([Case(self.state, METER, ohms=f) for f in faults])

    def change(self, ohms: Mapping[str, float]) -> dict[str, float]:
        """Node voltages with the branches given other ohms."""
        return self._named(self.change_each([ohms])[0])

    def solution(self, branch_ids: Iterable[str]) -> Solution:
        """Everything about one set of open branches: volts, currents, what closed."""
        case = [Case(self.state, METER, frozenset(branch_ids))]
        return self._settler.solution(case, self._settler.settle(case), 0)

    @property
    def branch_count(self) -> int:
        """Of the whole network, whether they conduct or not."""
        return len(self._settler.prepared.network.elements)

    def settle_each(self, cases: Sequence[Case]) -> tuple[list[np.ndarray], list[frozenset[str]]]:
        """Node voltages of cases in the order of `nodes`, and what does not come to rest."""
        volts, unsettled = self._settler.settle_sharing(cases)
        return list(np.ascontiguousarray(volts.T)), unsettled

    def solution_of(self, case: Case) -> Solution:
        """Everything about one case: volts, currents, what closed."""
        return self._settler.solution([case], self._settler.settle([case]), 0)

    def _settle(self, cases: Sequence[Case]) -> list[np.ndarray]:
        return self.settle_each(cases)[0]

    def _named(self, volts: np.ndarray) -> dict[str, float]:
        named = dict(zip(self.nodes, volts.tolist(), strict=True))
        named[self._settler.prepared.network.reference] = 0.0
        return named


def networks_of(network: Network, near: Solved | None = None) -> dict[str, StateNetwork]:
    """A network for faults in every state of a network that is built already.

    `near` is as of `Settler`.
    """
    settler = Settler(network, near=near)
    cases = [Case(state, METER) for state in network.states]
    settled = settler.settle(cases)
    return {
        state: StateNetwork(settler, state, settler.solution(cases, settled, at))
        for at, state in enumerate(network.states)
    }


MOST_AT_ONCE, LEAST_AT_ONCE = 2048, 256
"""Cases settled side by side at most, and at least however large the network is."""
MOST_BRANCHES = 2_000_000
"""Branches of all cases that are settled side by side: bounds the memory of one pass."""


def settle_everywhere(
    states: Mapping[str, StateNetwork], cases: Sequence[Case]
) -> tuple[list[np.ndarray], list[frozenset[str]]]:
    """As `settle_each` of cases of any of the states, which are of one network."""
    found: list[np.ndarray] = []
    unsettled: list[frozenset[str]] = []
    if not cases:
        return found, unsettled
    one = next(iter(states.values()))
    size = min(MOST_AT_ONCE, max(LEAST_AT_ONCE, MOST_BRANCHES // max(1, one.branch_count)))
    for start in range(0, len(cases), size):
        volts, restless = one.settle_each(cases[start : start + size])
        found += volts
        unsettled += restless
    return found, unsettled


def bridged(network: Network, bridges: Mapping[str, tuple[str, str, float]]) -> Network:
    """The network with branches more that conduct only in the cases that close them.

    `bridges`: branch id -> its two nodes and ohms: shorts to the body, pins that were swapped.
    """
    never: frozenset[str] = frozenset()
    more = tuple(
        Element(Branch(name, name.partition(":")[0], name.partition(":")[2], *bridge), never)
        for name, bridge in bridges.items()
    )
    return replace(network, elements=(*network.elements, *more))
