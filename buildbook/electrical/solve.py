"""Solves every operating state, as a meter reads it and as the wire heats."""

from __future__ import annotations

from collections.abc import Mapping

from buildbook.electrical.case import HEATING, METER, Case
from buildbook.electrical.model import Solved
from buildbook.electrical.network import Network, build_network, network_ohms, with_ohms
from buildbook.electrical.sense import (
    MOST_ROUNDS,
    EmfV,
    emf_of,
    is_near,
    sensed_emf,
    with_emf,
)
from buildbook.electrical.settle import Settler
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle


class Solver:
    """One harness, whose states are solved for one set of wires and fuses after another.

    Which nodes are joined never changes, so that the network and the order in which its nodes
    are removed are made once.
    """

    def __init__(self, vehicle: Vehicle, harness: Harness) -> None:
        self._states = vehicle.states
        unknown = dict.fromkeys(harness.wires, 1.0)
        self._network: Network = build_network(vehicle, harness, unknown, {})
        self._elimination = Settler(self._network).prepared.elimination
        self._last: Solved | None = None
        self._emf_v: EmfV = {}

    def solve(self, wire_ohms: Mapping[str, float], fuse_ohms: Mapping[str, float]) -> Solved:
        """Both solutions of every state; `wire_ohms` by wire id, `fuse_ohms` by fuse device id."""
        network = with_ohms(self._network, wire_ohms, fuse_ohms)
        for _ in range(MOST_ROUNDS):
            solved = self._solved(with_emf(network, self._emf_v))
            emf_v = sensed_emf(network, solved.meter)
            if is_near(self._emf_v, emf_v):
                break
            self._emf_v = emf_v
        return solved

    def _solved(self, network: Network) -> Solved:
        settler = Settler(network, self._elimination, self._last)
        cases = [Case(s, power) for power in (METER, HEATING) for s in self._states]
        settled = settler.settle(cases)
        solutions = [settler.solution(cases, settled, i) for i in range(len(cases))]
        half = len(self._states)
        self._last = Solved(
            meter={s.state: s for s in solutions[:half]},
            heating={s.state: s for s in solutions[half:]},
        )
        return self._last


def settler_of(vehicle: Vehicle, harness: Harness, solved: Solved) -> Settler:
    """A vehicle as it was solved, to be settled with anything altered."""
    return Settler(network_of(vehicle, harness, solved), near=solved)


def network_of(vehicle: Vehicle, harness: Harness, solved: Solved) -> Network:
    """A vehicle's network as it was solved.

    A generator that senses stands, whatever is altered, as far above the volts that it holds as
    it did then.
    """
    network = build_network(vehicle, harness, *network_ohms(solved))
    senses = {source.id for source in network.sources if source.senses}
    return with_emf(network, {k: v for k, v in emf_of(solved).items() if k[0] in senses})
