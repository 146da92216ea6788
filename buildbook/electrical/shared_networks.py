"""Many cases of one network that share most of what conducts: what each has of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from buildbook.electrical.case import Case, Positions, Settled
from buildbook.electrical.network import SMALLEST_OHMS
from buildbook.electrical.prepared import PreparedNetwork
from buildbook.electrical.pulses import Pairs, Pulsing
from buildbook.electrical.updating import Updating

FEW, LONE = 96, 96
"""So few cases, or so many that share their network with no other, are quicker solved whole."""

MOVED_V = 1e-6
"""Change of the volts across a pulsed branch from which on what its terminals see is found anew."""


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
        self.siemens = unaltered.siemens
        self.unaltered_volts = unaltered.volts
        self.conducts = np.array([[s in e.states for s, _ in kinds] for e in elements])
        limits = prepared.network.supply.limit_a or {}
        self.limit = np.array([limits.get(c.state, 0.0) for c in cases])
        self.place = {int(row): i for i, row in enumerate(prepared.controlled)}
        self.allowed = self.conducts[prepared.controlled][:, self.kind]
        self.stuck = np.zeros_like(self.allowed)
        self._alter()
        supply = prepared.battery_ends[0], *prepared.alternator_ends
        judged = {*prepared.control_plus.tolist(), *prepared.control_minus.tolist(), *supply}
        self.judged = updating.closure([int(node) for node in judged])

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
            free = [r for r in altered if not self.prepared.emf[r]]
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
                found[row] = self._altered_siemens(row, case, ohms)
        for branch in sorted(case.closed & rows.keys()):
            row = rows[branch]
            if (at := self.place.get(row)) is not None:
                self.allowed[at, column] = self.stuck[at, column] = True
                if self.prepared.duty[row] < 1:
                    found[row] = 1 / float(self.prepared.on_ohms[row])
            elif self.prepared.duty[row] < 1:
                found[row] = 1 / float(self.prepared.on_ohms[row])
            elif found.get(row) == 0.0 or not self.conducts[row, kind]:
                changed = {
                    rows[b]: self._altered_siemens(rows[b], case, ohms)
                    for b, ohms in (case.ohms or {}).items()
                }
                found.pop(row, None)
                found[row] = changed.get(row, float(self.siemens[row, kind]))
        return found

    def _altered_siemens(self, row: int, case: Case, ohms: float) -> float:
        share = 1.0 if self._is_steady(row, case) else self.prepared.duty[row] ** case.power
        return float(share) / max(ohms, SMALLEST_OHMS)

    def _is_steady(self, row: int, case: Case) -> bool:
        """A driver that does not switch off gives no pulses."""
        return self.prepared.network.elements[row].branch.id in case.closed

    def volts_judged(self, live: np.ndarray, rest: Positions) -> np.ndarray:
        """Volts of some cases, right at the nodes that contacts and supply judge."""
        return self._solve(live, rest, self.judged)

    def volts_at_rest(self, rest: Positions) -> np.ndarray:
        """Volts of all cases at rest, nodes x cases.

        Where an alteration moves the current of a pulsed branch, the resistance that stands for
        its pulses is found anew.
        """
        volts = self._solve(np.arange(len(self.cases)), rest, None)
        moved = self._moved_pulses(volts, rest)
        if len(moved.row):
            columns, place = np.unique(moved.column, return_inverse=True)
            whole = self._whole(columns, rest)
            pulsing = Pulsing(self.prepared.elimination, np.array(self.prepared.ends), *whole)
            pairs = replace(moved, column=place)
            volts[:, columns] = pulsing.mean_volts(pairs)
        return volts

    def _moved_pulses(self, volts: np.ndarray, rest: Positions) -> Pairs:
        """Pulsed branches whose current is not that of the unaltered network."""
        prepared, found = self.prepared, list[tuple[int, np.ndarray]]()
        padded = np.vstack([volts, np.zeros(volts.shape[1])])
        before = np.vstack([self.unaltered_volts, np.zeros(self.unaltered_volts.shape[1])])
        for row in prepared.pulsed:
            a, b = prepared.ends[row]
            now = padded[a] - padded[b]
            at = self.place.get(int(row))
            on = self.conducts[row, self.kind] if at is None else rest.pulled[at]
            was = (before[a] - before[b])[self.kind]
            moved = on & (np.abs(now - was) > MOVED_V)
            found.append((int(row), np.flatnonzero(moved)))
        counts = [len(columns) for _, columns in found]
        rows = np.repeat(np.array([r for r, _ in found], dtype=np.intp), counts)
        columns = np.concatenate([np.zeros(0, dtype=np.intp), *(c for _, c in found)])
        ohms, share = self._pulses(rows, columns)
        return Pairs(rows, columns, ohms, share).some(share < 1)

    def _pulses(self, row: np.ndarray, column: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Ohms while on and share of each pulsed branch in each case."""
        prepared = self.prepared
        ohms = prepared.on_ohms[row]
        share = prepared.duty[row] ** np.array([self.cases[c].power for c in column])
        for place, (r, c) in enumerate(zip(row.tolist(), column.tolist(), strict=True)):
            case, name = self.cases[c], prepared.network.elements[r].branch.id
            if name in case.closed or name in case.opened:
                share[place] = 1.0
            if case.ohms and name in case.ohms:
                ohms[place] = max(case.ohms[name], SMALLEST_OHMS)
        return ohms, share

    def _whole(self, cases: np.ndarray, rest: Positions) -> tuple[np.ndarray, np.ndarray]:
        """Siemens and injected amps of some cases, their own alteration in them."""
        battery = np.where(rest.disconnected[cases], -1, rest.battery[cases])
        siemens, injected = self._networks(cases, battery, rest)
        own = self.own[cases].copy()
        ruled = np.flatnonzero(self.by[cases] >= 0)
        own[ruled] *= rest.pulled[self.by[cases[ruled]], cases[ruled]]
        has = np.flatnonzero(self.row[cases] >= 0)
        siemens[self.row[cases[has]], has] = own[has]
        return siemens, injected

    def _solve(self, live: np.ndarray, rest: Positions, wanted: np.ndarray | None) -> np.ndarray:
        battery = np.where(rest.disconnected[live], -1, rest.battery[live])
        first, of, count = np.unique(
            np.vstack(
                [
                    self.kind[live],
                    self.other[live],
                    battery,
                    rest.alternator[live],
                    np.packbits(rest.pulled[:, live], axis=0),
                ]
            ),
            axis=1,
            return_index=True,
            return_inverse=True,
            return_counts=True,
        )[1:]
        of = of.reshape(-1)
        siemens, injected = self._networks(live[first], battery[first], rest)
        row = self.row[live]
        altered = self.own[live]
        ruled = np.flatnonzero(self.by[live] >= 0)
        altered[ruled] *= rest.pulled[self.by[live[ruled]], live[ruled]]
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

    def _networks(
        self, cases: np.ndarray, battery: np.ndarray, rest: Positions
    ) -> tuple[np.ndarray, np.ndarray]:
        """Siemens and injected amps of the network that each of these cases stands for."""
        kind, controlled = self.kind[cases], self.prepared.controlled
        on = self.conducts[:, kind]
        on[controlled] = rest.pulled[:, cases]
        siemens = self.siemens[:, kind] * on
        for column, other in enumerate(self.other[cases]):
            for row, value in self.others[other]:
                by = self.place.get(row)
                pulled = by is None or rest.pulled[by, cases[column]]
                siemens[row, column] = value if pulled else 0.0
        return self.prepared.supplied(siemens, battery, rest.alternator[cases], self.limit[cases])
