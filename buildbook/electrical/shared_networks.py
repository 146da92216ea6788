"""Many cases of one network that share most of what conducts: what each has of its own."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from buildbook.electrical.case import Case, Positions, Settled
from buildbook.electrical.lawful import is_off, retaken
from buildbook.electrical.network import SMALLEST_OHMS
from buildbook.electrical.prepared import PreparedNetwork, across
from buildbook.electrical.rest import Batch
from buildbook.electrical.sources import SourcesIn
from buildbook.electrical.updating import Updating

MOST_TANGENTS = 12
"""Tangents of a load's law in a row, after which a case is settled whole; two are usual."""
FEW, LONE = 96, 96
"""So few cases, or so many that share their network with no other, are quicker solved whole."""
BLOCK = 1024
"""Cases with pulses worked out at a time, few enough to stay in memory."""


class SharedNetworks:
    """Cases as networks that several share, each with one branch of its own altered.

    What else a case alters (a blown fuse, the other pins of a swap) makes its network another.
    """

    def __init__(
        self,
        prepared: PreparedNetwork,
        updating: Updating,
        cases: Sequence[Case],
        unaltered: Settled,
    ) -> None:
        self.prepared, self.updating, self.cases = prepared, updating, cases
        elements = prepared.network.elements
        kinds = list(dict.fromkeys((c.state, c.power) for c in cases))
        self.kind = np.array([kinds.index((c.state, c.power)) for c in cases])
        self.siemens, self.law_a = self._unaltered(unaltered)
        self.law_v = unaltered.law_v[:, self.kind]
        self.conducts = np.array([[s in e.states for s, _ in kinds] for e in elements])
        self.place = {int(row): i for i, row in enumerate(prepared.controlled)}
        self.lawful = {int(row): i for i, row in enumerate(prepared.lawful.rows)}
        self.allowed = self.conducts[prepared.controlled][:, self.kind]
        self.stuck = np.zeros_like(self.allowed)
        self._alter()
        law_on = self.conducts[prepared.lawful.rows][:, self.kind]
        self.batch = Batch(
            self.allowed,
            self.stuck,
            (self.allowed & prepared.inverted) | self.stuck,
            SourcesIn.of(prepared.network.sources, cases),
            np.zeros_like(law_on),  # tangents stay those of the unaltered network until the end
            prepared.pulses(cases),
            self.law_v,
        )
        for column, case in enumerate(cases):
            for branch in case.ohms or ():
                if (at := self.lawful.get(prepared.row[branch])) is not None:
                    law_on[at, column] = False
        self.law_on = law_on
        judged = {
            *prepared.control_plus.tolist(),
            *prepared.control_minus.tolist(),
            *prepared.source_ends.ravel().tolist(),
            *prepared.fed_ends.ravel().tolist(),
            *prepared.branch_ends[prepared.controlled[prepared.one_way[:, 0]]].ravel().tolist(),
        }
        self.judged = updating.closure([int(node) for node in judged])

    def _unaltered(self, unaltered: Settled) -> tuple[np.ndarray, np.ndarray]:
        """Siemens of each kind of case with nothing altered, and the amps beside its laws'."""
        lawful, siemens = self.prepared.lawful, unaltered.siemens.copy()
        share = np.ones(unaltered.law_v.shape)
        tangents, amps = lawful.tangents(unaltered.law_v, share, share < 1)
        pulsed = self.prepared.driven
        siemens[lawful.rows] = np.where(pulsed, siemens[lawful.rows], tangents)
        return siemens, np.where(pulsed, 0.0, amps)

    def _alter(self) -> None:
        """The branch that each case has of its own, and the others, which name its network."""
        count = len(self.cases)
        self.row = np.full(count, -1)
        self.own = np.zeros(count)
        self.by = np.full(count, -1)
        """Controlled element that decides whether the own branch conducts; -1 for none."""
        self.others: list[tuple[tuple[int, float], ...]] = [()]
        known: dict[tuple[tuple[int, float], ...], int] = {(): 0}
        self.other = np.zeros(count, dtype=int)
        for column, case in enumerate(self.cases):
            altered = self._altered(column, case)
            fixed = [r for r in altered if self.prepared.emf[r] or r in self.lawful]
            free = [r for r in altered if r not in fixed]
            if free:
                row = free[-1]
                self.row[column], self.own[column] = row, altered.pop(row)
                self.by[column] = self.place.get(row, -1)
            rest = tuple(altered.items())
            if rest not in known:
                known[rest] = len(self.others)
                self.others.append(rest)
            self.other[column] = known[rest]

    def _altered(self, column: int, case: Case) -> dict[int, float]:
        """Row -> siemens while it conducts, the fuses first: they are open in many cases.

        A contact that opens or closes needs none: its position says so.
        """
        rows, found = self.prepared.row, dict[int, float]()
        kind = self.kind[column]
        for branch in sorted(case.opened & rows.keys(), key=lambda b: (b[:5] != "fuse:", b)):
            if (at := self.place.get(rows[branch])) is not None:
                self.allowed[at, column] = False
            elif self.conducts[rows[branch], kind]:
                found[rows[branch]] = 0.0
        for branch, ohms in (case.ohms or {}).items():
            row = rows[branch]
            if row in self.place or (self.conducts[row, kind] and row not in found):
                found[row] = siemens_of(ohms)
        for branch in sorted(case.closed & rows.keys()):
            row = rows[branch]
            if (at := self.place.get(row)) is not None:
                self.allowed[at, column] = self.stuck[at, column] = True
            elif found.get(row) == 0.0 or not self.conducts[row, kind]:
                changed = {rows[b]: siemens_of(ohms) for b, ohms in (case.ohms or {}).items()}
                found.pop(row, None)
                found[row] = changed.get(row, float(self.siemens[row, kind]))
        return found

    def volts_judged(self, live: np.ndarray, rest: Positions) -> np.ndarray:
        """Volts of some cases, right at the nodes that contacts and supply judge."""
        return self._solve(live, rest, self.judged)

    def volts_at_rest(self, rest: Positions) -> tuple[np.ndarray, np.ndarray]:
        """Volts of all cases at rest, nodes x cases, and the cases in which contacts would move.

        What stands for pulses is each case's own, so those with pulses share nothing.
        """
        every = np.arange(len(self.cases))
        volts = self._solve(every, rest, None)
        ends = self.prepared.branch_ends[self.prepared.lawful.rows]
        found = across(volts, ends)
        never = np.zeros(found.shape, dtype=bool)
        off = is_off(found, self.law_v, never, self.prepared.driven)
        whole = (off & self.law_on).any(axis=0)
        for row in self.prepared.pulsed:
            at = self.place.get(int(row))
            whole |= self.conducts[row, self.kind] if at is None else rest.pulled[at]
        law_v, flat = retaken(found, self.law_v, never)
        restless = np.zeros(len(every), dtype=bool)
        for first in range(0, len(some := every[whole]), BLOCK):
            cases = some[first : first + BLOCK]
            volts[:, cases], restless[cases] = self._alone(
                cases, rest, law_v[:, cases], flat[:, cases]
            )
        return volts, np.flatnonzero(self._moves(volts, rest) | restless)

    def _alone(
        self, cases: np.ndarray, rest: Positions, law_v: np.ndarray, flat: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Volts of some cases, each with its own pulses and tangents; those without rest."""
        prepared, rows = self.prepared, self.prepared.lawful.rows
        networks = self._conducting(cases, rest)
        own = np.flatnonzero(self.row[cases] >= 0)
        networks[self.row[cases[own]], own] = self._own_siemens(cases[own], rest)
        volts, live = np.zeros((len(prepared.network.nodes), len(cases))), np.arange(len(cases))
        for _ in range(MOST_TANGENTS):
            here, siemens, taken_v = cases[live], networks[:, live], law_v[:, live]
            pulses, sources = self.batch.pulses.some(here), self.batch.sources.some(here)
            share = prepared.law_shares(pulses, rest.pulled[:, here])
            law_on = self.law_on[:, here] & (siemens[rows] > 0)
            at = sources, rest.mode[:, here], rest.drawn_a[:, here]
            standing = prepared.lawful.resistances(taken_v, share)
            siemens[rows] = np.where(law_on, standing, siemens[rows])
            siemens[pulses.rows] = pulses.stand(
                prepared.supplied(siemens, *at)[0], prepared.pulsed_see
            )
            straight, beside = prepared.lawful.tangents(taken_v, share, flat[:, live])
            siemens[rows] = np.where(law_on, straight, siemens[rows])
            network = prepared.supplied(siemens, *at, beside * law_on)
            volts[:, live] = prepared.elimination.solve(*network)
            found = across(volts[:, live], prepared.branch_ends[rows])
            off = is_off(found, taken_v, flat[:, live], prepared.driven) & law_on
            law_v[:, live], flat[:, live] = retaken(found, taken_v, flat[:, live])
            live = live[off.any(axis=0)]
            if not len(live):
                break
        restless = np.zeros(len(cases), dtype=bool)
        restless[live] = True
        return volts, restless

    def _moves(self, volts: np.ndarray, rest: Positions) -> np.ndarray:
        """Cases in which these volts would move a contact or a source; not those told already."""
        prepared, sources = self.prepared, self.batch.sources
        asked = (prepared.wanted(volts, rest.pulled) & self.allowed) | self.stuck
        moves = (asked != rest.pulled).any(axis=0)
        moves |= prepared.sources_moved(volts, sources, rest.mode, rest.drawn_a).any(axis=0)
        told = np.array([bool(found) for found in rest.unsettled])
        found: np.ndarray = moves & ~told
        return found

    def _own_siemens(self, cases: np.ndarray, rest: Positions) -> np.ndarray:
        """Of each case's own branch, as altered; 0 while its contact is open."""
        altered: np.ndarray = self.own[cases]
        ruled = np.flatnonzero(self.by[cases] >= 0)
        altered[ruled] *= rest.pulled[self.by[cases[ruled]], cases[ruled]]
        return altered

    def _solve(self, live: np.ndarray, rest: Positions, wanted: np.ndarray | None) -> np.ndarray:
        first, of, count = np.unique(
            np.vstack(
                [
                    self.kind[live],
                    self.other[live],
                    self.batch.sources.out[:, live],
                    rest.mode[:, live],
                    rest.drawn_a[self.prepared.converters][:, live],
                    np.packbits(rest.pulled[:, live], axis=0),
                ]
            ),
            axis=1,
            return_index=True,
            return_inverse=True,
            return_counts=True,
        )[1:]
        of = of.reshape(-1)
        siemens, injected = self._networks(live[first], rest)
        row, altered = self.row[live], self._own_siemens(live, rest)
        shared = np.full(len(count), len(live) > FEW)
        if (lone := count == 1).sum() > LONE:
            shared &= ~lone
        number = np.cumsum(shared) - 1
        many = np.flatnonzero(shared[of])
        few = np.flatnonzero(~shared[of])
        rows = np.arange(len(self.judged) - 1) if wanted is None else np.flatnonzero(wanted[:-1])
        volts = np.zeros((len(self.judged) - 1, len(live)))
        if len(many):
            volts[np.ix_(rows, many)] = self.updating.solve(
                siemens[:, shared],
                injected[:, shared],
                number[of[many]],
                row[many],
                altered[many],
                wanted,
            )
        if len(few):
            whole = siemens[:, of[few]]
            own = np.flatnonzero(row[few] >= 0)
            whole[row[few][own], own] = altered[few][own]
            found = self.prepared.elimination.solve(whole, injected[:, of[few]])
            volts[np.ix_(rows, few)] = found[rows]
        return volts

    def _networks(self, cases: np.ndarray, rest: Positions) -> tuple[np.ndarray, np.ndarray]:
        """Siemens and injected amps of the network that each of these cases stands for."""
        siemens = self._conducting(cases, rest)
        law_a = self.law_a[:, self.kind[cases]] * (siemens[self.prepared.lawful.rows] > 0)
        for column, other in enumerate(self.other[cases]):
            for row, _ in self.others[other]:
                if row in self.lawful:
                    law_a[self.lawful[row], column] = 0.0
        sources = self.batch.sources.some(cases)
        mode, drawn_a = rest.mode[:, cases], rest.drawn_a[:, cases]
        return self.prepared.supplied(siemens, sources, mode, drawn_a, law_a)

    def _conducting(self, cases: np.ndarray, rest: Positions) -> np.ndarray:
        """Siemens of every element, but for the branch that each case has of its own."""
        kind, controlled = self.kind[cases], self.prepared.controlled
        on = self.conducts[:, kind]
        on[controlled] = rest.pulled[:, cases]
        siemens: np.ndarray = self.siemens[:, kind] * on
        for column, other in enumerate(self.other[cases]):
            for row, value in self.others[other]:
                by = self.place.get(row)
                pulled = by is None or rest.pulled[by, cases[column]]
                siemens[row, column] = value if pulled else 0.0
        return siemens


def siemens_of(ohms: float) -> float:
    return 1 / max(ohms, SMALLEST_OHMS)
