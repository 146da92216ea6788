"""Broken cars as `broken_car.Car` has them, many settled side by side: many times quicker.

Nothing is taken from the sweep: the cases are settled whole, and the fuses open by the car's rule.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import islice
from typing import Any

from buildbook.electrical.case import Case
from buildbook.electrical.model import Solution
from buildbook.electrical.network import Element, Network
from buildbook.electrical.settle import Settler
from buildbook.electrical.solve import network_of
from buildbook.faultfinding.breaking import opening_currents
from tests.faultfinding.broken_car import MOST_FUSES, SMOKE_A, Car, red_lead_of

NEVER: frozenset[str] = frozenset()
AT_ONCE = 160
"""Cars that are settled side by side."""


class StandingCar(Car):
    """A car with one part broken, of which others find where it comes to rest."""

    def __init__(self, result: Any, fault: Any, whole: Network) -> None:
        self.result, self.fault = result, fault
        elements = [self._as_broken(e) for e in whole.elements if not self._gone(e)]
        if fault.mode == "short":
            elements.append(self._touch(whole))
        self.network = replace(whole, elements=tuple(elements))
        self.blown, self.volts, self.charging_a = set(), {}, {}
        self.unstarted = ()
        gone = {e.branch.id for e in whole.elements if self._gone(e)}
        altered = {e.branch.id for e in whole.elements if self._as_broken(e) is not e}
        sources = {source.id for source in result.vehicle.supply.sources}
        self.opened = frozenset(gone) | sources & {fault.branch}
        self.red_lead = red_lead_of(result)
        self.ohms = dict.fromkeys(altered, fault.ohms) if fault.mode == "resistive" else None
        self.closed = frozenset() if self.ohms else frozenset(altered)
        if fault.mode == "short":
            self.closed = frozenset({touch_of(fault)})
        self.opens_at_a = opening_currents(result.vehicle, result.sizing)

    def case(self, state: str) -> Case:
        """What is to be settled, with the fuses open that have blown in this state."""
        out = {f"fuse:{fuse}" for fuse, when in self.blown if when == state and fuse}
        out |= {generator.id for generator in self.unstarted}
        earthed = frozenset(self._warning_contacts())
        opened = self.opened | out
        closed = (self.closed | earthed) - opened
        return Case(state, opened=opened, ohms=self.ohms, closed=closed)

    def rests(self, state: str, solution: Solution) -> bool:
        """Takes what was settled; False where another fuse opens."""
        amps = {f: abs(solution.current_a.get(f"fuse:{f}", 0.0)) for f in self.opens_at_a}
        worst = max(self.opens_at_a, key=lambda f: amps[f] / self.opens_at_a[f], default="")
        if worst and amps[worst] >= self.opens_at_a[worst]:
            self.blown.add((worst, state))
            return False
        if abs(solution.current_a.get(touch_of(self.fault), 0.0)) > SMOKE_A:
            self.blown.add(("", state))
        self.volts[state], self.charging_a[state] = solution.volts, solution.charging_a
        return True

    def starts(self, at_rest: Sequence[str]) -> None:
        """Which generators its lamps start."""
        generators = self.result.vehicle.supply.generators
        self.unstarted = tuple(g for g in generators if self._lamp_stays_dark(g, at_rest))


def touch_of(fault: Any) -> str:
    """The branch that stands for a wire on the body."""
    return f"touch:{fault.branch}"


def cars_of(
    result: Any, faults: Iterable[Any], made: Callable[..., StandingCar] = StandingCar
) -> Iterator[StandingCar]:
    """A car for each fault, in their order; pins that are changed over are not among them."""
    whole = network_of(result.vehicle, result.harness, result.solved)
    plain, faults = Settler(whole), iter(faults)
    while some := list(islice(faults, AT_ONCE)):
        cars = [made(result, fault, whole) for fault in some]
        touched = [car for car in cars if car.fault.mode == "short"]
        come_to_rest(result, plain, [car for car in cars if car not in touched])
        if touched:
            touches = [
                Element(replace(car.network.elements[-1].branch, id=touch_of(car.fault)), NEVER)
                for car in touched
            ]
            network = replace(whole, elements=(*whole.elements, *touches))
            come_to_rest(result, Settler(network), touched)
        yield from cars


def come_to_rest(result: Any, settler: Settler, cars: Sequence[StandingCar]) -> None:
    """At rest first: the lamps that start generators are seen there."""
    generators, states = result.vehicle.supply.generators, result.vehicle.states
    running = [s for s in states if any(g.limit_a[s] > 0 for g in generators)]
    at_rest = [s for s in states if s not in running]
    _settle(settler, [(car, state) for car in cars for state in at_rest])
    for car in cars:
        car.starts(at_rest)
    _settle(settler, [(car, state) for car in cars for state in running])


def _settle(settler: Settler, live: list[tuple[StandingCar, str]]) -> None:
    for _ in range(MOST_FUSES):
        if not live:
            return
        cases = [car.case(state) for car, state in live]
        settled = settler.settle(cases)
        live = [
            (car, state)
            for at, (car, state) in enumerate(live)
            if not car.rests(state, settler.solution(cases, settled, at))
        ]
    raise AssertionError(f"{live[0][0].fault.id} blows fuse after fuse")
