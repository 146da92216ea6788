"""A mechanic's meter on the circuit simulator: the vehicle's deck with one part broken.

The deck is written from the description, from wires as built and from handbooks
(`tests/simulator`); the package's network has no part in it. What a driver sees, which fuses blow
and what an ohmmeter shows come from the car built anew, as ever.

Where nothing but sensors moves, the meter reads an operating point, each sensor at one end of what
is shown of it. Where one output pulses it reads the mean of both its ends, by its duty. Where more
pulse it reads their mean in time on a small vehicle; on one of many nodes, on which that takes
minutes, and for a part that the deck models in another way, the settled network is simulated
instead (`tests/electrical/frozen_netlist.py`). `asked` counts which.
"""

from __future__ import annotations

import random
import re
from collections import Counter
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from buildbook.electrical.network import Element, Network
from buildbook.electrical.settle import Settler
from tests.electrical.frozen_netlist import netlist, node_numbers
from tests.faultfinding.sensor_meter import shown_alone
from tests.faultfinding.simulated import simulate
from tests.faultfinding.standing_cars import StandingCar
from tests.simulator.broken_deck import (
    NotInTheDeck,
    broken_deck,
    level_of_sensors,
    pulsers,
    started,
)
from tests.simulator.compare import LOOK_S, SETTLE_S
from tests.simulator.run import NotFound, operating_point, transient

SMALL = 300
"""Nodes of a deck up to which its pulses are followed in time."""
SUPPLIES = ("battery", "alternator")


@dataclass(frozen=True)
class Simulator:
    """What the decks of a vehicle are written from, and where they are run."""

    written: dict[str, Any]
    """The folder, as plain data."""
    built: dict[str, Any]
    """Its results, as plain data."""
    folder: Path
    asked: Counter[str] = field(default_factory=Counter)
    """States that were simulated, by how."""

    def car(self, result: Any, fault: Any, whole: Network) -> MeterCar:
        """As `cars_of` makes them."""
        return MeterCar(result, fault, whole, self)


class MeterCar(StandingCar):
    """The car with one part broken, on which a meter shows what the simulator finds."""

    def __init__(self, result: Any, fault: Any, whole: Network, simulator: Simulator) -> None:
        super().__init__(result, fault, whole)
        self.whole, self.simulator = whole, simulator
        self.shown: dict[str, dict[str, float]] = {}

    def reads(self, step: dict[str, Any]) -> float:
        if step["measure"] != "volts":
            return float(super().reads(step))
        state, node = step["state"], step["node"]
        shown = self.volts_in(state)
        return shown[node] if node in shown else self._settled(state).get(node, 0.0)

    def volts_in(self, state: str) -> dict[str, float]:
        """By the names of nodes."""
        if state not in self.shown:
            try:
                how, self.shown[state] = self._on_the_deck(state)
            except NotInTheDeck:
                how, self.shown[state] = "settled network", self._settled(state)
            except NotFound:
                how = "settled network, no operating point found"
                self.shown[state] = self._settled(state)
            self.simulator.asked[how] += 1
        return self.shown[state]

    def _on_the_deck(self, state: str) -> tuple[str, dict[str, float]]:
        if self.fault.kind in SUPPLIES:
            raise NotInTheDeck(self.fault.id)
        here, opened = self.simulator, self._opened(state)
        touching = self.fault.branch.partition(":")[2] if self.fault.mode == "short" else ""
        deck = broken_deck(here.written, here.built, state, opened, touching)
        rhythms = pulsers(deck)
        if len(rhythms) > 1 and len(deck.numbers) > SMALL:
            raise NotInTheDeck(state)
        if len(rhythms) > 1:
            found = transient(deck, self.simulator.folder, SETTLE_S, LOOK_S)
            return "in time", {node: shown.mean for node, shown in found.items()}
        level_of_sensors(deck, random.Random(self.fault.id).random() < 0.5)
        off = self._operating_point(deck)
        if not rhythms:
            return "operating point", off
        delay, rise, fall, on_s, period = map(
            float, re.search(r"pulse\(0 1 (.*)\)", rhythms[0])[1].split()
        )
        duty = (on_s + rise) / period
        started(deck, rhythms)
        on = self._operating_point(deck)
        return "both ends", {node: duty * on[node] + (1 - duty) * off[node] for node in off}

    def _operating_point(self, deck: Any) -> dict[str, float]:
        found = operating_point(deck, self.simulator.folder)
        return {node: shown.mean for node, shown in found.items()}

    def _opened(self, state: str) -> list[Element]:
        """What the fault opens, and the fuses that are blown by then."""
        blown = {f"fuse:{fuse}" for fuse, when in self.blown if when == state}
        return [e for e in self.whole.elements if self._gone(e) or e.branch.id in blown]

    def _settled(self, state: str) -> dict[str, float]:
        """By the settled network, and what a sensor gives that is alone on its wire."""
        settler = Settler(self.network)
        case = [replace(self.case(state), closed=frozenset(self._warning_contacts()), ohms=None)]
        solution = settler.solution(case, settler.settle(case), 0)
        found = simulate(netlist(solution), self.simulator.folder) | {"0": 0.0}
        volts = {name: found[number] for name, number in node_numbers(solution).items()}
        return volts | shown_alone(self, volts)
