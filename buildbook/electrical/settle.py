"""Finds the operating point: relays, controllers, battery and alternator settle with the volts."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from buildbook.electrical.alike import Alike
from buildbook.electrical.elimination import Elimination
from buildbook.electrical.model import Branch, Solution
from buildbook.electrical.network import Network
from buildbook.electrical.updating import Updating

MOST_ROUNDS = 60
MOST_FLIPS = 6
"""A contact that changes more often than this buzzes, and is taken as open."""
ALIKE = 2
"""Changes a case above which cases are too little alike to share networks."""
DISCHARGING, CHARGING = 0, 1
OFF, REGULATING, LIMITED = 0, 1, 2


@dataclass(frozen=True)
class Case:
    """One network to settle: a state, how duty counts, and what is changed in it.

    `power` is 1 for averages (a meter), 0.5 for rms (heating): a pulsed load's ohms are divided
    by duty to that power. `opened` are branch ids taken out; `ohms` replaces resistances;
    `closed` conducts whatever the state and its control say.
    """

    state: str
    power: float = 1.0
    opened: frozenset[str] = frozenset()
    ohms: Mapping[str, float] | None = None
    closed: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Settled:
    """Volts (nodes x cases) and the position in which everything came to rest."""

    volts: np.ndarray
    on: np.ndarray
    """Element conducts, elements x cases."""
    siemens: np.ndarray
    battery: np.ndarray
    alternator: np.ndarray
    rounds: int


@dataclass
class Rest:
    """Where everything stands while cases come to rest."""

    pulled: np.ndarray
    """Controlled element conducts, controlled x cases."""
    battery: np.ndarray
    alternator: np.ndarray
    gone: np.ndarray
    """True where the battery is out."""
    rounds: int = 0


class Settler:
    """A network prepared once; settles any number of cases side by side.

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
        self._updating: Updating | None = None
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
        self.ends = [*ends, self.battery_ends, self.alternator_ends]

    def settle(self, cases: Sequence[Case]) -> Settled:
        """Every case come to rest, with the position of every element."""
        allowed, siemens, limit = self._start(cases)
        stuck = self._stuck(cases)
        on = allowed.copy()

        volts = np.zeros((len(self.network.nodes), len(cases)))

        def solve(live: np.ndarray, rest: Rest) -> np.ndarray:
            on[np.ix_(self.controlled, live)] = rest.pulled[:, live]
            battery = np.where(rest.gone[live], -1, rest.battery[live])
            conducting = siemens[:, live] * on[:, live]
            at = self.supplied(conducting, battery, rest.alternator[live], limit[live])
            volts[:, live] = found = self.elimination.solve(*at)
            return found

        rest = self._come_to_rest(cases, allowed[self.controlled], stuck, limit, solve)
        on[self.controlled] = rest.pulled
        return Settled(volts, on, siemens, rest.battery, rest.alternator, rest.rounds)

    def settle_alike(self, cases: Sequence[Case]) -> np.ndarray:
        """Volts (nodes x cases) of many cases that differ from one another in little.

        As `settle`, by altering one branch in networks that cases share (`updating.py`).
        """
        if not cases:
            return np.zeros((len(self.network.nodes), 0))
        if sum(len(c.opened) + len(c.closed) for c in cases) > ALIKE * len(cases):
            return self.settle(cases).volts
        if self._updating is None:
            self._updating = Updating(self.elimination, self.ends)
        alike = Alike(self, self._updating, cases)
        allowed, stuck = alike.allowed, alike.stuck
        return alike.finish(self._come_to_rest(cases, allowed, stuck, alike.limit, alike.judge))

    def _come_to_rest(
        self,
        cases: Sequence[Case],
        allowed: np.ndarray,
        stuck: np.ndarray,
        limit: np.ndarray,
        solve: Callable[[np.ndarray, Rest], np.ndarray],
    ) -> Rest:
        """Repeat solving until no contact, source, battery or alternator changes its mind.

        Contacts wait for the supply: they judge only volts at which it has come to rest.
        Starts with every made-by-voltage contact open, as when the state is entered. `allowed`
        and `stuck` are controlled elements x cases.
        """
        rest = Rest(
            (allowed & self.inverted) | stuck,
            np.full(len(cases), DISCHARGING),
            np.where(limit > 0, REGULATING, OFF),
            np.array(["battery" in c.opened for c in cases]),
        )
        flips = np.zeros((len(self.controlled), len(cases)), dtype=int)
        unplugged = np.array(["alternator" in c.opened for c in cases])
        rest.alternator[unplugged] = OFF
        live = np.arange(len(cases))
        while len(live) and rest.rounds < MOST_ROUNDS:
            rest.rounds += 1
            some = solve(live, rest)
            wanted = self._wanted(some) & allowed[:, live]
            wanted &= flips[:, live] < MOST_FLIPS
            wanted |= stuck[:, live]
            new_battery, new_alternator = self._modes(some, limit[live])
            new_alternator[unplugged[live]] = OFF
            step = np.clip(new_alternator - rest.alternator[live], -1, 1)
            moved = (new_battery != rest.battery[live]) | (step != 0)
            was = rest.pulled[:, live]
            changed = (wanted != was) & ~moved
            if rest.rounds < MOST_ROUNDS:
                flips[:, live] += changed
                rest.pulled[:, live] = was ^ changed
                rest.battery[live] = new_battery
                rest.alternator[live] += step
            live = live[moved | changed.any(axis=0)]
        return rest

    def _start(self, cases: Sequence[Case]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        elements = self.network.elements
        states = list(dict.fromkeys(c.state for c in cases))
        by_state = {s: np.array([s in e.states for e in elements]) for s in states}
        allowed = np.stack([by_state[c.state] for c in cases], axis=1)
        ohms = np.array([e.branch.ohms for e in elements])
        duty = np.array([max(e.duty, 1e-6) for e in elements])
        siemens = np.stack([duty**c.power / ohms for c in cases], axis=1)
        for column, case in enumerate(cases):
            for branch in case.opened & self.row.keys():
                allowed[self.row[branch], column] = False
            for branch, changed in (case.ohms or {}).items():
                siemens[self.row[branch], column] = 1 / max(changed, 1e-6)
            for branch in case.closed & self.row.keys():
                allowed[self.row[branch], column] = True
        limits = self.network.supply.limit_a or {}
        return allowed, siemens, np.array([limits.get(c.state, 0.0) for c in cases])

    def _stuck(self, cases: Sequence[Case]) -> np.ndarray:
        """Controlled elements that conduct against their control, controlled x cases."""
        stuck = np.zeros((len(self.controlled), len(cases)), dtype=bool)
        place = {int(row): i for i, row in enumerate(self.controlled)}
        for column, case in enumerate(cases):
            for branch in case.closed & self.row.keys():
                if (at := place.get(self.row[branch])) is not None:
                    stuck[at, column] = True
        return stuck

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

    def _wanted(self, volts: np.ndarray) -> np.ndarray:
        padded = np.vstack([volts, np.zeros(volts.shape[1])])
        across = padded[self.control_plus] - padded[self.control_minus]
        pulled = np.where(self.either_way, np.abs(across), across) >= self.control_v
        return pulled != self.inverted

    def _modes(self, volts: np.ndarray, limit: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        supply = self.network.supply
        padded = np.vstack([volts, np.zeros(volts.shape[1])])
        battery = np.where(padded[self.battery_ends[0]] > supply.emf_v, CHARGING, DISCHARGING)
        across = padded[self.alternator_ends[0]] - padded[self.alternator_ends[1]]
        would = (supply.regulated_v - across) / supply.alternator_ohms
        alternator = np.where(would > limit, LIMITED, np.where(would > 0, REGULATING, OFF))
        return battery, np.where(limit > 0, alternator, OFF)

    def solution(self, cases: Sequence[Case], settled: Settled, column: int) -> Solution:
        """One settled case with its currents, in names."""
        volts = dict(zip(self.network.nodes, settled.volts[:, column].tolist(), strict=True))
        volts[self.network.reference] = 0.0
        branches = {}
        for row in np.flatnonzero(settled.on[:, column]):
            branch = self.network.elements[row].branch
            ohms = 1 / float(settled.siemens[row, column])
            branches[branch.id] = branch if ohms == branch.ohms else replace(branch, ohms=ohms)
        currents = {b.id: (volts[b.a] - volts[b.b] - b.volts) / b.ohms for b in branches.values()}
        case = cases[column]
        charging = 0.0
        if "battery" not in case.opened:
            battery = self._battery(int(settled.battery[column]))
            branches["battery"] = battery
            charging = currents["battery"] = (volts[battery.a] - battery.volts) / battery.ohms
        limit = (self.network.supply.limit_a or {}).get(case.state, 0.0)
        given = self._alternator(int(settled.alternator[column]), limit, volts, branches)
        if "alternator" in branches:
            currents["alternator"] = -given
        closed = frozenset(b.ref for b in branches.values() if b.kind == "contact")
        return Solution(case.state, volts, currents, branches, closed, charging, given, limit)

    def _battery(self, mode: int) -> Branch:
        supply = self.network.supply
        ohms = supply.charge_ohms if mode == CHARGING else supply.ohms
        return Branch("battery", "source", "battery", supply.plus, supply.minus, ohms, supply.emf_v)

    def _alternator(
        self, mode: int, limit: float, volts: Mapping[str, float], branches: dict[str, Branch]
    ) -> float:
        """Adds the alternator's branch and returns its output; overloaded, its ohms are endless."""
        if mode == OFF:
            return 0.0
        supply = self.network.supply
        ends = supply.alternator_plus, supply.alternator_minus
        ohms = supply.alternator_ohms if mode == REGULATING else float("inf")
        branches["alternator"] = Branch(
            "alternator", "source", "alternator", *ends, ohms, supply.regulated_v
        )
        across = volts[ends[0]] - volts[ends[1]]
        return limit if mode == LIMITED else (supply.regulated_v - across) / ohms
