"""Finds the operating point: relays, controllers, battery and alternator settle with the volts."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from buildbook.electrical.case import (
    CHARGING,
    DISCHARGING,
    LIMITED,
    OFF,
    REGULATING,
    Case,
    Positions,
    Settled,
)
from buildbook.electrical.elimination import Elimination
from buildbook.electrical.model import Branch, Solution
from buildbook.electrical.network import SMALLEST_OHMS, Network
from buildbook.electrical.prepared import PreparedNetwork
from buildbook.electrical.pulses import Pulses
from buildbook.electrical.shared_networks import SharedNetworks
from buildbook.electrical.updating import Updating

MOST_FLIPS = 6
"""A contact that changes more often than this is opened for good; where its control then still
asks for it, it buzzes, and the solution says so."""
MOST_SUPPLY_MOVES = 20
"""Changes of battery and alternator in a row, no contact moving, after which they are told not to
come to rest. Each has three positions at most, in an order; a few changes are usual."""
MOST_PULSE_ROUNDS = 5
"""Times that contacts settle anew because pulses moved the volts; what moves then still is told.
Twice is usual: pulsed branches begin as they stood before."""
MOST_CHANGES = 2
"""Changes a case above which cases are too little alike to share networks."""


class Alike(NamedTuple):
    """Cases settled in shared networks; `astray` are the places of those to settle whole."""

    volts: np.ndarray
    unsettled: list[frozenset[str]]
    astray: list[int]


class Settler:
    """A network prepared once; settles any number of cases side by side.

    `elimination` may be that of a network that differs in nothing but ohms.
    """

    def __init__(self, network: Network, elimination: Elimination | None = None) -> None:
        self.prepared = PreparedNetwork(network, elimination)
        self._updating: Updating | None = None
        self.standing: dict[tuple[str, float], np.ndarray] = {}
        """State and power -> siemens that stand for the pulses of each pulsed element."""

    def settle(self, cases: Sequence[Case]) -> Settled:
        """Every case come to rest, with the position of every element.

        Pulsed branches and contacts settle in turn: the resistance that stands for pulses
        (`pulses.py`) follows from where the contacts are, and what moves them from the mean volts.
        """
        allowed, siemens, limit = self._start(cases)
        pulses = self.prepared.pulses(cases)
        settled = self._settle_contacts(cases, allowed, siemens, limit)
        astray = self._settle_pulses(settled, pulses, limit)
        for _ in range(MOST_PULSE_ROUNDS - 1):
            again = np.array([place for place, found in enumerate(astray) if found], dtype=np.intp)
            if not len(again):
                break
            some = [cases[place] for place in again]
            at = allowed[:, again], settled.siemens[:, again], limit[again]
            part = self._settle_contacts(some, *at)
            moved = self._settle_pulses(part, pulses.some(again), limit[again])
            settled.put(again, part)
            for place, found in zip(again, moved, strict=True):
                astray[place] = found
        self._remember(cases, settled.siemens)
        for place, found in enumerate(astray):
            settled.unsettled[place] |= found
        return settled

    def _kinds(self, cases: Sequence[Case]) -> Settled:
        """Each state and power of the cases, nothing altered, in order of appearance."""
        kinds = dict.fromkeys((case.state, case.power) for case in cases)
        return self.settle([Case(state, power) for state, power in kinds])

    def _settle_pulses(
        self, settled: Settled, pulses: Pulses, limit: np.ndarray
    ) -> list[frozenset[str]]:
        """Bring pulsed branches to rest in place: what would now move, for each case."""
        prepared = self.prepared
        if not settled.on[pulses.rows].any():
            return [frozenset()] * len(settled.unsettled)
        whole = self._whole(settled, limit)
        whole[0][pulses.rows] = standing = pulses.stand(whole[0])
        settled.volts[:] = prepared.elimination.solve(*whole)
        settled.siemens[pulses.rows] = np.where(
            settled.on[pulses.rows], standing, settled.siemens[pulses.rows]
        )
        pulled = settled.on[prepared.controlled]
        moves = (prepared.wanted(settled.volts) != pulled) & settled.free
        new_battery, new_alternator = prepared.modes(settled.volts, limit)
        supply = (new_battery != settled.battery) & ~settled.disconnected
        supply |= (new_alternator != settled.alternator) & ~settled.unplugged
        ids = [prepared.network.elements[row].branch.id for row in prepared.controlled]
        found = []
        for column, known in enumerate(settled.unsettled):
            astray = {ids[i] for i in np.flatnonzero(moves[:, column])} - known
            if supply[column]:
                astray |= {"battery", "alternator"} - known
            found.append(frozenset(astray))
        return found

    def at_rest(self, cases: Sequence[Case], settled: Settled) -> tuple[np.ndarray, np.ndarray]:
        """Siemens of all branches and injected amps of settled cases, as for `Elimination`."""
        return self._whole(settled, self._limits(cases))

    def _whole(self, settled: Settled, limit: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        battery = np.where(settled.disconnected, -1, settled.battery)
        conducting = settled.siemens * settled.on
        return self.prepared.supplied(conducting, battery, settled.alternator, limit)

    def _settle_contacts(
        self, cases: Sequence[Case], allowed: np.ndarray, siemens: np.ndarray, limit: np.ndarray
    ) -> Settled:
        """Every case with its pulsed branches at the resistances given."""
        stuck = self._stuck(cases)
        on = allowed.copy()

        volts = np.zeros((len(self.prepared.network.nodes), len(cases)))

        def solve(live: np.ndarray, rest: Positions) -> np.ndarray:
            on[np.ix_(self.prepared.controlled, live)] = rest.pulled[:, live]
            battery = np.where(rest.disconnected[live], -1, rest.battery[live])
            conducting = siemens[:, live] * on[:, live]
            at = self.prepared.supplied(conducting, battery, rest.alternator[live], limit[live])
            volts[:, live] = found = self.prepared.elimination.solve(*at)
            return found

        rest = self._come_to_rest(cases, allowed[self.prepared.controlled], stuck, limit, solve)
        on[self.prepared.controlled] = rest.pulled
        return Settled(
            volts,
            on,
            siemens,
            rest.battery,
            rest.alternator,
            rest.rounds,
            rest.unsettled,
            rest.disconnected,
            rest.unplugged,
            allowed[self.prepared.controlled] & ~stuck,
        )

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
            self._updating = Updating(self.prepared.elimination, self.prepared.ends)
        shared = SharedNetworks(self.prepared, self._updating, cases, self._kinds(cases))
        rest = self._come_to_rest(
            cases, shared.allowed, shared.stuck, shared.limit, shared.volts_judged
        )
        volts, astray = shared.volts_at_rest(rest)
        return Alike(volts, rest.unsettled, astray.tolist())

    def _come_to_rest(
        self,
        cases: Sequence[Case],
        allowed: np.ndarray,
        stuck: np.ndarray,
        limit: np.ndarray,
        solve: Callable[[np.ndarray, Positions], np.ndarray],
    ) -> Positions:
        """Repeat solving until no contact, source, battery or alternator changes its mind.

        Contacts wait for the supply: they judge only volts at which it has come to rest.
        Starts with every made-by-voltage contact open, as when the state is entered. `allowed`
        and `stuck` are controlled elements x cases.
        """
        rest = Positions(
            (allowed & self.prepared.inverted) | stuck,
            np.full(len(cases), DISCHARGING),
            np.where(limit > 0, REGULATING, OFF),
            np.array(["battery" in c.opened for c in cases]),
            np.array(["alternator" in c.opened for c in cases]),
            unsettled=[frozenset()] * len(cases),
        )
        flips = np.zeros((len(self.prepared.controlled), len(cases)), dtype=int)
        supply_moves = np.zeros(len(cases), dtype=int)
        rest.alternator[rest.unplugged] = OFF
        live = np.arange(len(cases))
        # Each contact changes a bounded number of times and the supply so often between two of
        # their changes, so this ends by itself.
        while len(live):
            rest.rounds += 1
            some = solve(live, rest)
            asked = (self.prepared.wanted(some) & allowed[:, live]) | stuck[:, live]
            wanted = asked & ((flips[:, live] < MOST_FLIPS) | stuck[:, live])
            battery, alternator = self.prepared.modes(some, limit[live])
            alternator[rest.unplugged[live]] = OFF
            step = np.clip(alternator - rest.alternator[live], -1, 1)
            moved = (battery != rest.battery[live]) | (step != 0)
            restless = moved & (supply_moves[live] >= MOST_SUPPLY_MOVES)
            moved &= ~restless
            was = rest.pulled[:, live]
            changed = (wanted != was) & ~moved
            resting = ~(moved | changed.any(axis=0))
            self._tell(rest, live, resting, asked & ~wanted, restless)
            flips[:, live] += changed
            supply_moves[live] = np.where(moved, supply_moves[live] + 1, 0)
            rest.pulled[:, live] = was ^ changed
            rest.battery[live] = np.where(moved, battery, rest.battery[live])
            rest.alternator[live] += np.where(moved, step, 0)
            live = live[~resting]
        return rest

    def _tell(
        self,
        rest: Positions,
        live: np.ndarray,
        resting: np.ndarray,
        buzzing: np.ndarray,
        restless: np.ndarray,
    ) -> None:
        """Enter what does not come to rest in the cases that are left as they are."""
        elements = self.prepared.network.elements
        for place in np.flatnonzero(resting & (buzzing.any(axis=0) | restless)):
            rows = self.prepared.controlled[buzzing[:, place]]
            found = {elements[row].branch.id for row in rows}
            if restless[place]:
                found |= {"battery", "alternator"}
            rest.unsettled[int(live[place])] = frozenset(found)

    def _start(self, cases: Sequence[Case]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        elements = self.prepared.network.elements
        states = list(dict.fromkeys(c.state for c in cases))
        by_state = {s: np.array([s in e.states for e in elements]) for s in states}
        allowed = np.stack([by_state[c.state] for c in cases], axis=1)
        siemens = self.started(cases)
        for column, case in enumerate(cases):
            for branch in case.opened & self.prepared.row.keys():
                allowed[self.prepared.row[branch], column] = False
            for branch, changed in (case.ohms or {}).items():
                row = self.prepared.row[branch]
                share = self.prepared.duty[row] ** case.power
                siemens[row, column] = share / max(changed, SMALLEST_OHMS)
            for branch in case.closed & self.prepared.row.keys():
                row = self.prepared.row[branch]
                allowed[row, column] = True
                if self.prepared.duty[row] < 1:
                    ohms = (case.ohms or {}).get(branch, self.prepared.on_ohms[row])
                    siemens[row, column] = 1 / max(ohms, SMALLEST_OHMS)
        return allowed, siemens, self._limits(cases)

    def _limits(self, cases: Sequence[Case]) -> np.ndarray:
        """The most that the alternator gives in each case, A."""
        limits = self.prepared.network.supply.limit_a or {}
        return np.array([limits.get(c.state, 0.0) for c in cases])

    def started(self, cases: Sequence[Case]) -> np.ndarray:
        """Siemens to begin with, elements x cases: pulsed branches as they last stood."""
        prepared, kinds = self.prepared, [(c.state, c.power) for c in cases]
        siemens = np.repeat(1 / prepared.on_ohms[:, None], len(cases), axis=1)
        shares = [prepared.duty[prepared.pulsed] ** power for _, power in kinds]
        for column, (kind, share) in enumerate(zip(kinds, shares, strict=True)):
            known = self.standing.get(kind)
            begin = siemens[prepared.pulsed, column] * share
            siemens[prepared.pulsed, column] = begin if known is None else known
        return siemens

    def _remember(self, cases: Sequence[Case], siemens: np.ndarray) -> None:
        """How pulsed branches stand in states in which nothing is altered."""
        for column, case in enumerate(cases):
            if not (case.opened or case.closed or case.ohms):
                kind = case.state, case.power
                self.standing[kind] = siemens[self.prepared.pulsed, column].copy()

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
        volts = dict(
            zip(self.prepared.network.nodes, settled.volts[:, column].tolist(), strict=True)
        )
        volts[self.prepared.network.reference] = 0.0
        branches = {}
        for row in np.flatnonzero(settled.on[:, column]).tolist():
            branch = self.prepared.network.elements[row].branch
            ohms = 1 / float(settled.siemens[row, column])
            branches[branch.id] = branch if ohms == branch.ohms else self._stood(row, branch, ohms)
        currents = {b.id: (volts[b.a] - volts[b.b] - b.volts) / b.ohms for b in branches.values()}
        case = cases[column]
        charging = 0.0
        if "battery" not in case.opened:
            battery = self._battery(int(settled.battery[column]))
            branches["battery"] = battery
            charging = currents["battery"] = (volts[battery.a] - battery.volts) / battery.ohms
        limit = (self.prepared.network.supply.limit_a or {}).get(case.state, 0.0)
        given = self._alternator(int(settled.alternator[column]), limit, volts, branches)
        if "alternator" in branches:
            currents["alternator"] = -given
        closed = frozenset(b.ref for b in branches.values() if b.kind == "contact")
        return Solution(
            case.state,
            volts,
            currents,
            branches,
            closed,
            charging,
            given,
            limit,
            settled.unsettled[column],
        )

    def _stood(self, row: int, branch: Branch, ohms: float) -> Branch:
        """A branch at other ohms; one that stands for pulses keeps those while it is on."""
        pulsed = self.prepared.duty[row] < 1
        return replace(branch, ohms=ohms, while_on_ohms=branch.ohms if pulsed else None)

    def _battery(self, mode: int) -> Branch:
        supply = self.prepared.network.supply
        ohms = supply.charge_ohms if mode == CHARGING else supply.ohms
        return Branch("battery", "source", "battery", supply.plus, supply.minus, ohms, supply.emf_v)

    def _alternator(
        self, mode: int, limit: float, volts: Mapping[str, float], branches: dict[str, Branch]
    ) -> float:
        """Adds the alternator's branch and returns its output; overloaded, its ohms are endless."""
        if mode == OFF:
            return 0.0
        supply = self.prepared.network.supply
        ends = supply.alternator_plus, supply.alternator_minus
        ohms = supply.alternator_ohms if mode == REGULATING else float("inf")
        branches["alternator"] = Branch(
            "alternator", "source", "alternator", *ends, ohms, supply.regulated_v
        )
        across = volts[ends[0]] - volts[ends[1]]
        return limit if mode == LIMITED else (supply.regulated_v - across) / ohms
