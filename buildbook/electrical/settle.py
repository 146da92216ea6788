"""Finds the operating point: contacts, sources and loads with laws settle with the volts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import NamedTuple

import numpy as np

from buildbook.electrical.case import HEATING, LIMITED, METER, Case, Positions, Settled
from buildbook.electrical.core import HeldCore
from buildbook.electrical.elimination import Elimination
from buildbook.electrical.lawful import is_off
from buildbook.electrical.model import Branch, Solution, Solved
from buildbook.electrical.network import SMALLEST_OHMS, Network
from buildbook.electrical.prepared import PreparedNetwork, across
from buildbook.electrical.rest import Batch, come_to_rest
from buildbook.electrical.shared_networks import SharedNetworks
from buildbook.electrical.sources import SourcesIn
from buildbook.electrical.updating import Updating

MOST_PULSE_ROUNDS = 8
"""Times that contacts settle anew because pulses moved the volts; what moves then still is told.
Twice is usual: pulsed branches begin as they stood before."""
MOST_CHANGES = 2
"""Changes a case above which cases are too little alike to share networks."""


class Alike(NamedTuple):
    """Cases settled in shared networks; `astray` are the places of those to settle whole."""

    volts: np.ndarray
    unsettled: list[frozenset[str]]
    astray: list[int]


@dataclass(frozen=True)
class Stood:
    """How things stood in a state with nothing altered: where another begins."""

    pulsed_siemens: np.ndarray
    law_v: np.ndarray


class Settler:
    """A network prepared once; settles any number of cases side by side.

    `elimination` may be that of a network that differs in nothing but ohms. `near` is how this
    one stood, or one that differs in little: from there pulses and tangents come to rest sooner.
    """

    def __init__(
        self,
        network: Network,
        elimination: Elimination | None = None,
        near: Solved | None = None,
    ) -> None:
        self.prepared = PreparedNetwork(network, elimination)
        self._updating: Updating | None = None
        self._stood: dict[tuple[str, float], Stood] = {}
        """By state and power."""
        if near is not None:
            for power, solutions in ((METER, near.meter), (HEATING, near.heating)):
                for state, solution in solutions.items():
                    self._stood[state, power] = self._as_it_stood(solution, power)

    def settle(self, cases: Sequence[Case]) -> Settled:
        """Every case come to rest, with the position of every element.

        Pulsed branches and contacts settle in turn: the resistance that stands for pulses
        (`pulses.py`) follows from where the contacts are, and what moves them from the mean volts.
        """
        on, siemens = self._start(cases)
        batch = self._batch(cases, on)
        held = self.prepared.held(siemens * on)
        settled = self._settle_contacts(batch, held, on, siemens)
        astray = self._settle_pulses(settled, batch, held)
        for _ in range(MOST_PULSE_ROUNDS - 1):
            again = np.array([place for place, found in enumerate(astray) if found], dtype=np.intp)
            if not len(again):
                break
            some = replace(batch.some(again), law_v=settled.law_v[:, again])
            there = held.some(again)
            part = self._settle_contacts(some, there, on[:, again], settled.siemens[:, again])
            moved = self._settle_pulses(part, some, there)
            settled.put(again, part)
            for place, found in zip(again, moved, strict=True):
                astray[place] = found
        held.fill(settled.volts)
        self._remember(cases, settled)
        for place, found in enumerate(astray):
            settled.unsettled[place] |= found
        return settled

    def _settle_contacts(
        self, batch: Batch, held: HeldCore, on: np.ndarray, siemens: np.ndarray
    ) -> Settled:
        """Every case with its pulsed branches at the resistances given; volts of the core."""
        prepared, on, siemens = self.prepared, on.copy(), siemens.copy()
        volts = np.zeros((len(prepared.network.nodes), on.shape[1]))
        rows = prepared.lawful.rows

        def solve(live: np.ndarray, rest: Positions) -> np.ndarray:
            on[np.ix_(prepared.controlled, live)] = rest.pulled[:, live]
            conducting, law_on = siemens[:, live] * on[:, live], batch.law_on[:, live]
            share = prepared.law_shares(batch.pulses.some(live), rest.pulled[:, live])
            found = prepared.lawful.tangents(rest.law_v[:, live], share, rest.flat[:, live])
            conducting[rows] = np.where(law_on, found[0], conducting[rows])
            at = prepared.supplied(
                conducting,
                batch.sources.some(live),
                rest.mode[:, live],
                rest.drawn_a[:, live],
                found[1] * law_on,
            )
            volts[:, live] = solved = held.some(live).solve(*at)
            return solved

        rest = come_to_rest(prepared, batch, solve)
        on[prepared.controlled] = rest.pulled
        share = prepared.law_shares(batch.pulses, rest.pulled)
        law_v = np.where(prepared.driven, rest.law_v, across(volts, prepared.branch_ends[rows]))
        standing = prepared.lawful.resistances(law_v, share)
        siemens[rows] = np.where(batch.law_on, standing, siemens[rows])
        free = batch.allowed & ~batch.stuck
        return Settled(
            volts, on, siemens, rest.mode, rest.drawn_a, law_v, rest.rounds, rest.unsettled, free
        )

    def _settle_pulses(
        self, settled: Settled, batch: Batch, held: HeldCore
    ) -> list[frozenset[str]]:
        """Bring pulsed branches to rest in place: what would now move, for each case."""
        prepared, rows = self.prepared, self.prepared.lawful.rows
        pulled = settled.on[prepared.controlled]
        share = prepared.law_shares(batch.pulses, pulled)
        driven = batch.law_on & prepared.driven
        if not (settled.on[batch.pulses.rows].any() or driven.any()):
            return [frozenset()] * len(settled.unsettled)
        never = np.zeros(share.shape, dtype=bool)
        for _ in range(MOST_PULSE_ROUNDS):
            self._stand(settled, batch, held, share)
            law_v = across(settled.volts, prepared.branch_ends[rows])
            off = is_off(law_v, settled.law_v, never, prepared.driven)
            settled.law_v[:] = np.where(driven, law_v, settled.law_v)
            if not (driven & off).any():
                break
        standing = prepared.lawful.resistances(law_v, share)
        settled.siemens[rows] = np.where(batch.law_on, standing, settled.siemens[rows])
        settled.law_v[:] = law_v
        loads = batch.law_on & off
        moves = (prepared.wanted(settled.volts, pulled) != pulled) & settled.free
        sources = prepared.sources_moved(
            settled.volts, batch.sources, settled.mode, settled.drawn_a
        )
        names = [
            (moves, [prepared.network.elements[row].branch.id for row in prepared.controlled]),
            (sources, [source.id for source in prepared.network.sources]),
            (loads, [prepared.network.elements[row].branch.id for row in prepared.lawful.rows]),
        ]
        return [
            frozenset(ids[at] for marks, ids in names for at in np.flatnonzero(marks[:, column]))
            - known
            for column, known in enumerate(settled.unsettled)
        ]

    def _stand(self, settled: Settled, batch: Batch, held: HeldCore, share: np.ndarray) -> None:
        """Set what stands for pulses, and the volts with it."""

        def seen(open_: np.ndarray) -> np.ndarray:
            return self.prepared.pulsed_see_in(held, open_)

        prepared, rows, pulsed = self.prepared, self.prepared.lawful.rows, batch.pulses.rows
        law_on = batch.law_on & (settled.siemens[rows] > 0)
        standing = prepared.lawful.resistances(settled.law_v, share)
        settled.siemens[rows] = np.where(law_on, standing, settled.siemens[rows])
        at = batch.sources, settled.mode, settled.drawn_a
        siemens = settled.siemens * settled.on
        siemens[pulsed] = standing = batch.pulses.stand(prepared.supplied(siemens, *at)[0], seen)
        settled.siemens[pulsed] = np.where(settled.on[pulsed], standing, settled.siemens[pulsed])
        never = np.zeros(share.shape, dtype=bool)
        straight, beside = prepared.lawful.tangents(settled.law_v, share, never)
        siemens[rows] = np.where(law_on, straight, siemens[rows])
        whole = prepared.supplied(siemens, *at, beside * law_on)
        settled.volts[:] = held.solve(*whole)

    def at_rest(self, cases: Sequence[Case], settled: Settled) -> tuple[np.ndarray, np.ndarray]:
        """Siemens of all branches and injected amps of settled cases, as for `Elimination`."""
        return self._whole(settled, SourcesIn.of(self.prepared.network.sources, cases))

    def _whole(self, settled: Settled, sources: SourcesIn) -> tuple[np.ndarray, np.ndarray]:
        conducting = settled.siemens * settled.on
        return self.prepared.supplied(conducting, sources, settled.mode, settled.drawn_a)

    def settle_sharing(self, cases: Sequence[Case]) -> tuple[np.ndarray, list[frozenset[str]]]:
        """Volts (nodes x cases) of many cases that differ from one another in little.

        As `settle`, by altering one branch in networks that cases share (`updating.py`); with
        the contacts of each case that do not come to rest.
        """
        volts = np.zeros((len(self.prepared.network.nodes), len(cases)))
        unsettled = [frozenset[str]()] * len(cases)
        whole = list(range(len(cases)))
        changes = sum(len(c.opened) + len(c.closed) for c in cases)
        if changes <= MOST_CHANGES * len(cases):
            alike = [
                place for place, case in enumerate(cases) if not self.prepared.alters_pulses(case)
            ]
            shared = self._settle_alike([cases[place] for place in alike])
            volts[:, alike] = shared.volts
            for place, found in zip(alike, shared.unsettled, strict=True):
                unsettled[place] = found
            whole = sorted({*whole} - {*alike} | {alike[place] for place in shared.astray})
        if whole:
            settled = self.settle([cases[place] for place in whole])
            volts[:, whole] = settled.volts
            for place, found in zip(whole, settled.unsettled, strict=True):
                unsettled[place] = found
        return volts, unsettled

    def _settle_alike(self, cases: Sequence[Case]) -> Alike:
        """Cases settled in networks that they share, and those that this is not right for."""
        if not cases:
            return Alike(np.zeros((len(self.prepared.network.nodes), 0)), [], [])
        if self._updating is None:
            ends = [(int(a), int(b)) for a, b in self.prepared.branch_ends]
            self._updating = Updating(self.prepared.elimination, ends)
        kinds = dict.fromkeys((case.state, case.power) for case in cases)
        unaltered = self.settle([Case(state, power) for state, power in kinds])
        shared = SharedNetworks(self.prepared, self._updating, cases, unaltered)
        rest = come_to_rest(self.prepared, shared.batch, shared.volts_judged)
        volts, astray = shared.volts_at_rest(rest)
        return Alike(volts, rest.unsettled, astray.tolist())

    def _batch(self, cases: Sequence[Case], on: np.ndarray) -> Batch:
        """Cases as they begin: contacts made by a voltage are open, as when a state is entered."""
        prepared = self.prepared
        allowed, stuck = on[prepared.controlled], self._stuck(cases)
        law_on = on[prepared.lawful.rows]
        pulses = prepared.pulses(cases)
        driven = prepared.law_shares(pulses, np.ones(allowed.shape, dtype=bool))
        law_v = np.where(driven < 1, driven * prepared.rated_v, 0.0)
        ids = [prepared.network.elements[row].branch.id for row in prepared.lawful.rows]
        for column, case in enumerate(cases):
            for branch in {*(case.ohms or ())} & {*ids}:
                law_on[ids.index(branch), column] = False
            if (stood := self._stood.get((case.state, case.power))) is not None:
                law_v[:, column] = stood.law_v
        return Batch(
            allowed,
            stuck,
            (allowed & prepared.inverted) | stuck,
            SourcesIn.of(prepared.network.sources, cases),
            law_on,
            pulses,
            law_v,
        )

    def _start(self, cases: Sequence[Case]) -> tuple[np.ndarray, np.ndarray]:
        """What may conduct, and the siemens to begin with, elements x cases."""
        prepared, elements = self.prepared, self.prepared.network.elements
        states = list(dict.fromkeys(c.state for c in cases))
        by_state = {s: np.array([s in e.states for e in elements], dtype=bool) for s in states}
        on = np.stack([by_state[c.state] for c in cases], axis=1)
        siemens = self._started(cases)
        for column, case in enumerate(cases):
            for branch in case.opened & prepared.row.keys():
                on[prepared.row[branch], column] = False
            for branch, changed in (case.ohms or {}).items():
                row = prepared.row[branch]
                share = prepared.duty[row] ** case.power
                siemens[row, column] = share / max(changed, SMALLEST_OHMS)
            for branch in case.closed & prepared.row.keys():
                row = prepared.row[branch]
                on[row, column] = True
                if prepared.duty[row] < 1:
                    ohms = (case.ohms or {}).get(branch, prepared.on_ohms[row])
                    siemens[row, column] = 1 / max(ohms, SMALLEST_OHMS)
        return on, siemens

    def _started(self, cases: Sequence[Case]) -> np.ndarray:
        """Siemens to begin with, elements x cases: pulsed branches as they last stood."""
        prepared = self.prepared
        siemens = np.repeat(1 / prepared.on_ohms[:, None], len(cases), axis=1)
        for column, case in enumerate(cases):
            known = self._stood.get((case.state, case.power))
            begin = siemens[prepared.pulsed, column] * prepared.duty[prepared.pulsed] ** case.power
            siemens[prepared.pulsed, column] = begin if known is None else known.pulsed_siemens
        return siemens

    def _as_it_stood(self, solution: Solution, power: float) -> Stood:
        """How things stood in a solution; what was open then begins at its duty's share."""
        prepared, elements = self.prepared, self.prepared.network.elements
        siemens = prepared.duty[prepared.pulsed] ** power / prepared.on_ohms[prepared.pulsed]
        for place, row in enumerate(prepared.pulsed):
            if (branch := solution.branches.get(elements[row].branch.id)) is not None:
                siemens[place] = 1 / branch.ohms
        ends = [elements[row].branch for row in prepared.lawful.rows]
        known = solution.volts
        law_v = np.array([known.get(b.a, 0.0) - known.get(b.b, 0.0) for b in ends])
        return Stood(siemens, law_v)

    def _remember(self, cases: Sequence[Case], settled: Settled) -> None:
        """How things stand in states in which nothing is altered."""
        for column, case in enumerate(cases):
            if not (case.opened or case.closed or case.ohms):
                self._stood[case.state, case.power] = Stood(
                    settled.siemens[self.prepared.pulsed, column].copy(),
                    settled.law_v[:, column].copy(),
                )

    def _stuck(self, cases: Sequence[Case]) -> np.ndarray:
        """Controlled elements that conduct against their control, controlled x cases."""
        stuck = np.zeros((len(self.prepared.controlled), len(cases)), dtype=bool)
        place = {int(row): i for i, row in enumerate(self.prepared.controlled)}
        for column, case in enumerate(cases):
            for branch in case.closed & self.prepared.row.keys():
                if (at := place.get(self.prepared.row[branch])) is not None:
                    stuck[at, column] = True
        return stuck

    def solution(self, cases: Sequence[Case], settled: Settled, column: int) -> Solution:
        """One settled case with its currents, in names."""
        network, case = self.prepared.network, cases[column]
        volts = dict(zip(network.nodes, settled.volts[:, column].tolist(), strict=True))
        volts[network.reference] = 0.0
        branches = {}
        for row in np.flatnonzero(settled.on[:, column]).tolist():
            branch = network.elements[row].branch
            ohms = 1 / float(settled.siemens[row, column])
            branches[branch.id] = branch if ohms == branch.ohms else self._at(row, branch, ohms)
        currents = {b.id: (volts[b.a] - volts[b.b] - b.volts) / b.ohms for b in branches.values()}
        closed = frozenset(b.ref for b in branches.values() if b.kind == "contact")
        given = self._sources(case, settled, column, branches)
        currents.update({name: -amps for name, amps in given.items() if name in branches})
        generators = [s for s in network.sources if s.kind in ("alternator", "dynamo")]
        return Solution(
            case.state,
            volts,
            currents,
            branches,
            closed,
            -given[network.sources[0].id],
            fsum(given[s.id] for s in generators),
            fsum(s.limit_a[case.state] for s in generators),
            settled.unsettled[column],
        )

    def _at(self, row: int, branch: Branch, ohms: float) -> Branch:
        """A branch at other ohms; one that stands for pulses keeps those while it is on."""
        pulsed = self.prepared.duty[row] < 1
        return replace(branch, ohms=ohms, while_on_ohms=branch.ohms if pulsed else None)

    def _sources(
        self, case: Case, settled: Settled, column: int, branches: dict[str, Branch]
    ) -> dict[str, float]:
        """Adds the branch of each source that does anything; what each gives, A, by its id.

        At its limit a source has endless ohms.
        """
        network, given = self.prepared.network, {}
        here = SourcesIn.of(network.sources, [case])
        mode = settled.mode[:, [column]]
        volts = across(settled.volts[:, [column]], self.prepared.source_ends)
        siemens, amps = here.siemens(mode), here.given_a(mode, volts)
        for row, source in enumerate(network.sources):
            given[source.id] = float(amps[row, 0])
            if siemens[row, 0] or (mode[row, 0] == LIMITED and given[source.id]):
                ohms = 1 / float(siemens[row, 0]) if siemens[row, 0] else float("inf")
                branches[source.id] = Branch(
                    source.id,
                    "source",
                    source.id,
                    source.plus,
                    source.minus,
                    ohms,
                    source.emf_v[case.state],
                )
        return given
