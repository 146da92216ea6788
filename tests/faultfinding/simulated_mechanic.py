"""A mechanic whose meter is the circuit simulator: the broken car with pickups as they are.

The broken network is drawn anew, and each pickup in it is an open collector that conducts only
while its own supply is there: in front of a tooth it pulls its wire low, before a gap it lets go.
"""

from __future__ import annotations

import re

from buildbook.electrical.case import Case
from buildbook.electrical.network import inside
from tests.electrical.frozen_netlist import netlist, node_numbers
from tests.faultfinding.broken_car import Car, follow
from tests.faultfinding.simulated import simulate

COLLECTOR_OHM = 10.0
"""Of a conducting collector above its saturation voltage (memory)."""
LET_GO_V = 2.5
"""Half of the 5 V that a pickup is made for."""


class SimulatedCar(Car):
    """The car with one part broken, each state solved when it is asked for."""

    def __init__(self, result, fault, tooth, folder):
        self.tooth, self.folder = tooth, folder
        self.solutions, self.shown = {}, {}
        super().__init__(result, fault)

    def _come_to_rest(self, state):
        return {}

    def reads(self, step):
        if step["measure"] != "volts":
            return super().reads(step)
        return self.volts_in(step["state"]).get(step["node"], 0.0)

    def volts_in(self, state):
        if state not in self.shown:
            self.shown[state] = self._simulated(state)
        return self.shown[state]

    def _simulated(self, state):
        blown = self.result.faultfinding.blown.get(self.fault.id, ())
        out = {f"fuse:{b.fuse}" for b in blown if b.state == state and b.fuse}
        out |= {"battery", "alternator"} & {self.fault.branch}
        case = [Case(state, opened=frozenset(out))]
        solution = self.settler.solution(case, self.settler.settle(case), 0)
        numbers = node_numbers(solution)
        text = self._with_pickups(netlist(solution), numbers)
        found = simulate(text, self.folder) | {"0": 0.0}
        return {name: found[number] for name, number in numbers.items()}

    def _with_pickups(self, text, numbers):
        """The deck with every pickup's output as its data sheet has it."""
        for device in self.result.vehicle.devices.values():
            for signal in device.signals:
                if signal.written.hall is not None:
                    text = self._with_pickup(text, numbers, device, signal)
        return text

    def _with_pickup(self, text, numbers, device, signal):
        pair = {signal.pin, signal.return_pin}
        load = next(x for x in device.loads if {x.from_pin, x.to_pin} == pair)
        card = re.compile(rf"\* load:{re.escape(load.id)}\nR\d+ (\S+) (\S+) \S+\n")
        found = card.search(text)
        if found is None:
            return text
        feeds = {f"load:{x.id}" for x in device.loads if x.from_pin == signal.supply_pin}
        dead = self.fault.mode == "open" and self.fault.branch in feeds
        if dead or not self.tooth:
            return card.sub("", text)
        plus, minus = found.groups()
        supply = [numbers[inside(pin)] for pin in (signal.supply_pin, signal.return_pin)]
        across = [f"(v({a})-v({b}))" for a, b in ((plus, minus), supply)]
        low_v = signal.written.hall.low / 2
        amps = f"max({across[0]}-{low_v:g},0)/{COLLECTOR_OHM:g}*u({across[1]}-{LET_GO_V:g})"
        return card.sub(f"B{load.id.replace('.', '_')} {plus} {minus} I={amps}\n", text)


def arrives(row, car):
    """Whether the measurements of an exported symptom leave the fault among the suspects."""
    left, _ = follow(row, car)
    return car.fault.id in left
