"""A network as arrays: places of its nodes and elements, what controls them, how it is supplied."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np

from buildbook.electrical.case import TAKING, Case
from buildbook.electrical.core import Core, HeldCore
from buildbook.electrical.elimination import Elimination, Sums
from buildbook.electrical.lawful import LEAST_V, Lawful, full_v
from buildbook.electrical.network import REVERSE_A, SMALLEST_OHMS, Network
from buildbook.electrical.ports import Ports
from buildbook.electrical.pulses import Pulses
from buildbook.electrical.sources import SourcesIn

LEAST_DUTY = 1e-6
DRAWN_A = 1e-6
"""Change of what a converter takes at which it counts as settled."""


class PreparedNetwork:
    """What every case of a network has in common.

    `elimination` may be that of a network that differs in nothing but ohms.
    """

    def __init__(self, network: Network, elimination: Elimination | None = None) -> None:
        self.network = network
        self.index = {name: place for place, name in enumerate(network.nodes)}
        self.index[network.reference] = -1
        self.row = {e.branch.id: i for i, e in enumerate(network.elements)}
        self.branch_ends = np.array(
            [
                *((self.index[e.branch.a], self.index[e.branch.b]) for e in network.elements),
                *((self.index[s.plus], self.index[s.minus]) for s in network.sources),
            ],
            dtype=np.intp,
        ).reshape(-1, 2)
        count = len(network.elements)
        self.source_ends = self.branch_ends[count:]
        self.elimination = elimination or Elimination(
            len(network.nodes), [(a, b) for a, b in self.branch_ends.tolist()]
        )
        self.converters = np.array(
            [i for i, s in enumerate(network.sources) if s.fed_by], dtype=np.intp
        )
        fed = [network.sources[i] for i in self.converters]
        self.fed_ends = np.array(
            [[self.index[end] for end in s.fed_by or ()] for s in fed], dtype=np.intp
        ).reshape(-1, 2)
        self.efficiency = np.array([[s.efficiency] for s in fed]).reshape(-1, 1)
        self.awake_v = np.array([[s.works_from_v] for s in fed]).reshape(-1, 1)
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
        self.holds_v = np.array(
            [[e.control_v if e.holds_v is None else e.holds_v] for e in switched]
        ).reshape(-1, 1)
        self.one_way = np.array([[e.one_way] for e in switched], dtype=bool).reshape(-1, 1)
        self.inverted = np.array([[e.inverted] for e in switched], dtype=bool).reshape(-1, 1)
        self.either_way = np.array([[e.either_way] for e in switched], dtype=bool).reshape(-1, 1)
        self.emf = np.array([e.branch.volts for e in network.elements])
        self.emf_rows = np.flatnonzero(self.emf)
        self.on_ohms = np.array([e.branch.ohms for e in network.elements])
        self.duty = np.array([max(e.duty, LEAST_DUTY) for e in network.elements])
        self.pulsed = np.flatnonzero(self.duty < 1)
        self.pulsed_ids = frozenset(network.elements[row].branch.id for row in self.pulsed)
        lawful = [  # what pulses itself is the resistance that its sheet gives while it is on
            (i, e.law) for i, e in enumerate(network.elements) if e.law is not None and e.duty >= 1
        ]
        self.lawful = Lawful(
            np.array([i for i, _ in lawful], dtype=np.intp), tuple(law for _, law in lawful)
        )
        pulsed = {network.elements[row].branch.id: at for at, row in enumerate(self.pulsed)}
        driver = {network.elements[row].branch.id: at for at, row in enumerate(self.controlled)}
        by = [network.elements[i].pulsed_by for i, _ in lawful]
        self.law_pulses = np.array([pulsed.get(name, -1) for name in by], dtype=np.intp)
        """For each load with a law its driver's place among the pulsed ones, and …"""
        self.law_drivers = np.array([driver.get(name, -1) for name in by], dtype=np.intp)
        """… among those that are controlled; -1 for none."""
        self.driven = ((self.law_pulses >= 0) & (self.law_drivers >= 0))[:, None]
        """Whether a driver may pulse it."""
        self.rated_v = np.array([[full_v(law)] for _, law in lawful]).reshape(-1, 1)

    @cached_property
    def _ports(self) -> Ports:
        return Ports(self.elimination.layers, self.branch_ends[self.pulsed])

    def pulsed_see(self, open_: np.ndarray) -> np.ndarray:
        """What pulsed branches see of networks with them open, as of `Ports.ohms`."""
        return self._ports.ohms(self.elimination, open_)

    @cached_property
    def core(self) -> Core:
        """What changes while cases come to rest, and all that is judged."""
        changes = [self.controlled, self.lawful.rows, self.pulsed, self.emf_rows]
        sources = np.arange(len(self.emf), len(self.branch_ends))
        rows = np.unique(np.concatenate([*changes, sources]))
        seen = [self.control_plus, self.control_minus, self.fed_ends.ravel()]
        return Core(self.elimination, self.branch_ends, rows, np.concatenate(seen).tolist())

    def held(self, siemens: np.ndarray) -> HeldCore:
        """Networks (elements x cases) with all removed that does not move."""
        sources = np.zeros((len(self.source_ends), siemens.shape[1]))
        return self.core.of(np.vstack([siemens, sources]))

    @cached_property
    def _core_ports(self) -> Ports:
        return self.core.ports(self.branch_ends[self.pulsed])

    def pulsed_see_in(self, held: HeldCore, open_: np.ndarray) -> np.ndarray:
        """As `pulsed_see`, where all that does not move is removed."""
        return self._core_ports.ohms(held, open_[self.core.rows])

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
        return Pulses(self.pulsed, on_ohms, share)

    def law_shares(self, pulses: Pulses, pulled: np.ndarray) -> np.ndarray:
        """Share of its volts while on that stands across each load with a law, on average.

        1 but where a driver pulses it, which conducts (controlled x cases).
        """
        found = np.ones((len(self.law_pulses), pulled.shape[1]))
        some = np.flatnonzero(self.driven)
        on = pulled[self.law_drivers[some]]
        found[some] = np.where(on, pulses.share[self.law_pulses[some]], 1.0)
        return found

    def alters_pulses(self, case: Case) -> bool:
        """Whether a case alters a pulsed branch itself."""
        altered = case.opened | case.closed | {*(case.ohms or ())}
        return not altered.isdisjoint(self.pulsed_ids)

    def supplied(
        self,
        siemens: np.ndarray,
        sources: SourcesIn,
        mode: np.ndarray,
        drawn_a: np.ndarray,
        law_a: np.ndarray | None = None,
    ) -> tuple[np.ndarray, np.ndarray]:
        """Networks with their sources: siemens and injected amps, each x networks.

        `drawn_a` is what converters take where they are fed, `law_a` what flows through loads
        with laws beside their siemens.
        """
        if law_a is None:
            law_a = np.zeros((len(self.lawful.rows), siemens.shape[1]))
        out_a = np.vstack(
            [
                siemens[self.emf_rows] * self.emf[self.emf_rows, None],
                sources.pushed_a(mode),
                -drawn_a[self.converters],
                -law_a,
            ]
        )
        injected = np.zeros((len(self.network.nodes) + 1, siemens.shape[1]))
        self._onto_nodes.add(np.vstack([out_a, -out_a]), injected)
        return np.vstack([siemens, sources.siemens(mode)]), injected[:-1]

    @cached_property
    def _onto_nodes(self) -> Sums:
        """Amps out at the first ends and in at the second; the last place is the reference."""
        pushing = [self.branch_ends[self.emf_rows], self.source_ends, self.fed_ends]
        ends = np.vstack([*pushing, self.branch_ends[self.lawful.rows]])
        return Sums.to(np.where(ends < 0, len(self.network.nodes), ends).T.ravel())

    def wanted(self, volts: np.ndarray, pulled: np.ndarray) -> np.ndarray:
        """Controlled elements that their control asks to conduct, controlled x cases.

        `pulled` are those that conduct: a relay that has pulled in holds on until it drops out,
        and a cut-out until current flows back through it.
        """
        control = across(volts, np.stack([self.control_plus, self.control_minus], axis=1))
        control = np.where(self.either_way, np.abs(control), control)
        held = pulled != self.inverted
        reached = control >= np.where(held, self.holds_v, self.control_v)
        through = across(volts, self.branch_ends[self.controlled])
        onward = through > -REVERSE_A * self.on_ohms[self.controlled][:, None]
        reached = np.where(self.one_way & pulled, onward, reached)
        asked: np.ndarray = reached != self.inverted
        return asked

    def doing(self, volts: np.ndarray, sources: SourcesIn) -> np.ndarray:
        """What each source does at these volts, sources x cases."""
        mode = sources.doing(across(volts, self.source_ends))
        fed_v = across(volts, self.fed_ends)
        mode[self.converters] = np.where(fed_v < self.awake_v, TAKING, mode[self.converters])
        return mode

    def sources_moved(
        self, volts: np.ndarray, sources: SourcesIn, mode: np.ndarray, drawn_a: np.ndarray
    ) -> np.ndarray:
        """Sources that would do something else at these volts, and converters that would draw it.

        `mode` and `drawn_a` are what they do and draw; all are sources x cases.
        """
        moved: np.ndarray = (self.doing(volts, sources) != mode) & ~sources.out
        if len(self.converters):
            moved |= np.abs(self.drawn(volts, sources, mode) - drawn_a) > DRAWN_A
        return moved

    def drawn(self, volts: np.ndarray, sources: SourcesIn, mode: np.ndarray) -> np.ndarray:
        """What each converter takes where it is fed, A, sources x cases."""
        output_v = across(volts, self.source_ends)
        found = np.zeros_like(output_v)
        given = sources.given_a(mode, output_v)[self.converters]
        fed_v = np.maximum(across(volts, self.fed_ends), self.awake_v)
        watts = np.maximum(given, 0.0) * output_v[self.converters] / self.efficiency
        found[self.converters] = watts / np.maximum(fed_v, LEAST_V)
        return found


def across(volts: np.ndarray, ends: np.ndarray) -> np.ndarray:
    """Volts (nodes x columns) across pairs of nodes: pairs x columns."""
    padded = np.vstack([volts, np.zeros(volts.shape[1])])
    found: np.ndarray = padded[ends[:, 0]] - padded[ends[:, 1]]
    return found
