"""How hot a poor joint gets: its watts, and what the wires at it carry off."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from buildbook.electrical.faults import StateNetwork
from buildbook.faultfinding.model import Fault, Hot
from buildbook.harness.model import Harness
from buildbook.sizing.finished_runs import conductor_of
from buildbook.sizing.heat_balance import heat_w_per_m
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle

COPPER_W_PER_M_K = 390.0
"""Conductivity of electrolytic copper (memory: 385 to 401)."""
AIR_C = 25.0
"""Air around a joint."""
AIM_K = 50.0
"""Rise over the air from which a joint is noticed: too hot to touch and soon smelt. ISO 13732-1
has some 70 degC for bare metal touched for a second (from memory); our choice."""


def carries_off_w_per_k(vehicle: Vehicle, harness: Harness, sizing: Sizing, wire: str) -> float:
    """Heat that one long wire takes from its end, W for each kelvin that this is warmer.

    A rod whose other end is at the air's temperature: sqrt(h p k A) (the fin equation of any
    handbook of heat transfer); h p is what a metre sheds at the aimed rise.
    """
    conductor = conductor_of(vehicle, sizing.wires[wire])
    shed = heat_w_per_m(conductor, AIR_C + AIM_K, AIR_C) / AIM_K
    return math.sqrt(shed * COPPER_W_PER_M_K * conductor.copper_mm2 * 1e-6)


@dataclass(frozen=True)
class Joints:
    """What carries the heat of each branch off, W/K, and the states that last."""

    carries_off: Mapping[str, float]
    states: frozenset[str]

    @classmethod
    def of(
        cls,
        vehicle: Vehicle,
        harness: Harness,
        sizing: Sizing,
        network: StateNetwork,
        joints: Sequence[Fault],
        short_lived: Collection[str],
    ) -> Joints:
        """Of joints that may be poor; cranking is over before one of them is warm.

        The far side of a contact, inside a device, is taken to carry off as much as the wires.
        """
        each = {w: carries_off_w_per_k(vehicle, harness, sizing, w) for w in sizing.wires}
        found = {}
        for joint in joints:
            ends = {node.removesuffix("~") for node in network.ends_of(joint.branch)}
            sides = [math.fsum(each.get(w, 0.0) for w in harness.wire_at.get(e, ())) for e in ends]
            wired = [side for side in sides if side > 0]
            if wired:
                found[joint.branch] = math.fsum(wired) * (2 if len(wired) == 1 else 1)
        lasting = frozenset(vehicle.states) - {*short_lived}
        return cls(found, lasting)

    def hot(
        self, network: StateNetwork, volts: np.ndarray, faults: Sequence[Fault]
    ) -> dict[int, Hot]:
        """Place in `faults` -> how hot, of poor joints that anybody notices by it.

        `volts` holds one row a fault, its last column zero. What is open in a state, or pulses
        itself, has volts across it that make no heat there. Of what carries pulses the mean is
        taken: it gets hotter than is said.
        """
        if network.state not in self.states:
            return {}
        place = {node: at for at, node in enumerate(network.nodes)}
        found = {}
        for row, fault in enumerate(faults):
            off = self.carries_off.get(fault.branch)
            well = network.healthy.branches.get(fault.branch)
            carries = well is not None and well.while_on_ohms is None
            if fault.mode != "resistive" or not off or not carries:
                continue
            a, b = (volts[row][place.get(end, -1)] for end in network.ends_of(fault.branch))
            watts = float(a - b) ** 2 / fault.ohms
            if watts / off >= AIM_K:
                found[row] = Hot(network.state, watts, watts / off)
        return found
