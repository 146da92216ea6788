"""A network as arrays: places of its nodes and elements, what controls them, how it is supplied."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np

from buildbook.electrical.case import CHARGING, DISCHARGING, LIMITED, OFF, REGULATING, Case
from buildbook.electrical.elimination import Elimination
from buildbook.electrical.network import SMALLEST_OHMS, Network
from buildbook.electrical.ports import Ports
from buildbook.electrical.pulses import Pulses

LEAST_DUTY = 1e-6


class PreparedNetwork:
    """What every case of a network has in common.

    `elimination` may be that of a network that differs in nothing but ohms.
    """

    def __init__(self, network: Network, elimination: Elimination | None = None) -> None:
        self.network = network
        self.index = {name: place for place, name in enumerate(network.nodes)}
        self.index[network.reference] = -1
        self.row = {e.branch.id: i for i, e in enumerate(network.elements)}
        supply = network.supply
        ends = [(self.index[e.branch.a], self.index[e.branch.b]) for e in network.elements]
        self.battery_ends = (self.index[supply.plus], -1)
        self.alternator_ends = (
            self.index.get(supply.alternator_plus, -1),
            self.index.get(supply.alternator_minus, -1),
        )
        self.elimination = elimination or Elimination(
            len(network.nodes), [*ends, self.battery_ends, self.alternator_ends]
        )
        self.controlled = np.array(
            [i for i, e in enumerate(network.elements) if e.control], dtype=np.intp
        )
        switched = [network.elements[i] for i in self.controlled]
        self.control_plus = np.array(
            [self.index[e.control[0]] for e in switched if e.control], dtype=np.intp
        )
        self.control_minus = np.array(
            [self.index[e.control[1]] for e in switched if e.control], dtype=np.intp
        )
        self.control_v = np.array([[e.control_v] for e in switched]).reshape(-1, 1)
        self.inverted = np.array([[e.inverted] for e in switched], dtype=bool).reshape(-1, 1)
        self.either_way = np.array([[e.either_way] for e in switched], dtype=bool).reshape(-1, 1)
        self.emf = np.array([e.branch.volts for e in network.elements])
        self.on_ohms = np.array([e.branch.ohms for e in network.elements])
        self.duty = np.array([max(e.duty, LEAST_DUTY) for e in network.elements])
        self.pulsed = np.flatnonzero(self.duty < 1)
        self.pulsed_ids = frozenset(network.elements[row].branch.id for row in self.pulsed)
        self.ends = [*ends, self.battery_ends, self.alternator_ends]

    @cached_property
    def ports(self) -> Ports:
        """The terminals of pulsed branches."""
        return Ports(self.elimination, np.array(self.ends)[self.pulsed])

    def pulses(self, cases: Sequence[Case]) -> Pulses:
        """The pulsed branches of every case; a driver that is stuck gives no pulses."""
        power = np.array([case.power for case in cases])
        on_ohms = np.repeat(self.on_ohms[self.pulsed][:, None], len(cases), axis=1)
        share = self.duty[self.pulsed][:, None] ** power
        for column, case in enumerate(cases):
            if self.alters_pulses(case):
                for place, row in enumerate(self.pulsed):
                    branch = self.network.elements[row].branch.id
                    if branch in case.closed:
                        share[place, column] = 1.0
                    if branch in (ohms := case.ohms or {}):
                        on_ohms[place, column] = max(ohms[branch], SMALLEST_OHMS)
        return Pulses(self.ports, self.pulsed, on_ohms, share)

    def alters_pulses(self, case: Case) -> bool:
        """Whether a case alters a pulsed branch itself."""
        altered = case.opened | case.closed | {*(case.ohms or ())}
        return not altered.isdisjoint(self.pulsed_ids)

    def supplied(
        self,
        siemens: np.ndarray,
        battery: np.ndarray,
        alternator: np.ndarray,
        limit: np.ndarray,
    ) -> tuple[np.ndarray, np.ndarray]:
        """Networks with battery and alternator: siemens and injected amps, each x networks.

        `battery` is -1 where it is out, `alternator` its mode, `limit` the most it gives, A.
        """
        supply = self.network.supply
        injected = np.zeros((len(self.network.nodes) + 1, siemens.shape[1]))
        for row in np.flatnonzero(self.emf):
            branch = self.network.elements[row].branch
            push = siemens[row] * self.emf[row]
            injected[self.index[branch.a]] += push
            injected[self.index[branch.b]] -= push
        cell = np.where(battery == CHARGING, 1 / supply.charge_ohms, 1 / supply.ohms)
        cell = np.where(battery < 0, 0.0, cell)
        injected[self.battery_ends[0]] += cell * supply.emf_v
        machine = np.where(alternator == REGULATING, 1 / supply.alternator_ohms, 0.0)
        push = machine * supply.regulated_v + np.where(alternator == LIMITED, limit, 0.0)
        injected[self.alternator_ends[0]] += push
        injected[self.alternator_ends[1]] -= push
        return np.vstack([siemens, cell, machine]), injected[:-1]

    def wanted(self, volts: np.ndarray) -> np.ndarray:
        """Controlled elements that their control asks to conduct, controlled x cases."""
        padded = np.vstack([volts, np.zeros(volts.shape[1])])
        across = padded[self.control_plus] - padded[self.control_minus]
        pulled = np.where(self.either_way, np.abs(across), across) >= self.control_v
        asked: np.ndarray = pulled != self.inverted
        return asked

    def modes(self, volts: np.ndarray, limit: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """What battery and alternator do at these volts, each x cases."""
        supply = self.network.supply
        padded = np.vstack([volts, np.zeros(volts.shape[1])])
        battery = np.where(padded[self.battery_ends[0]] > supply.emf_v, CHARGING, DISCHARGING)
        across = padded[self.alternator_ends[0]] - padded[self.alternator_ends[1]]
        would = (supply.regulated_v - across) / supply.alternator_ohms
        alternator = np.where(would > limit, LIMITED, np.where(would > 0, REGULATING, OFF))
        return battery, np.where(limit > 0, alternator, OFF)
