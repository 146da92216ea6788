"""Faulted operating points for a general-purpose circuit simulator, and what they are held to."""

from __future__ import annotations

import random
import re
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass, replace

from buildbook.electrical.case import Case
from buildbook.electrical.faults import StateNetwork, bridged, networks_of
from buildbook.electrical.model import Solution
from buildbook.electrical.network import Network
from buildbook.electrical.solve import network_of
from buildbook.faultfinding.breaking import bridges_of
from buildbook.faultfinding.faults import case_of
from buildbook.faultfinding.model import Fault
from buildbook.faultfinding.sweep import Sweep
from tests.electrical.frozen_netlist import netlist, node_numbers
from tests.once import swept_of

SEED = 20260
WITHIN_V = 1e-3


@dataclass(frozen=True)
class Point:
    """One fault in one state: as the sweep has it, and as a network with fixed contacts."""

    fault: Fault
    case: Case
    swept: dict[str, float]
    solution: Solution


@dataclass(frozen=True)
class Broken:
    """A vehicle's sweep, and its network with the bridges of shorts and swaps."""

    vehicle: object
    swept: Sweep
    network: Network
    states: dict[str, StateNetwork]


def broken(result) -> Broken:
    swept = swept_of(result)
    whole = network_of(result.vehicle, result.harness, result.solved)
    network = bridged(whole, bridges_of(result.harness, whole, swept.faults))
    return Broken(result.vehicle, swept, network, networks_of(network))


def some_points(car: Broken, count: int) -> Iterator[Point]:
    """Faults and states drawn by a seeded generator, every kind of fault in its turn."""
    draw = random.Random(SEED)
    modes = sorted({fault.mode for fault in car.swept.faults})
    rows = {m: [i for i, f in enumerate(car.swept.faults) if f.mode == m] for m in modes}
    for n in range(count):
        row = draw.choice(rows[modes[n % len(modes)]])
        yield point(car, row, draw.choice(sorted(car.states)))


def point(car: Broken, row: int, state: str) -> Point:
    """The fuses that the sweep found to blow are out."""
    fault = car.swept.faults[row]
    case = case_of(car.vehicle, fault, state)
    blown = {f"fuse:{b.fuse}" for b in car.swept.blown.get(fault.id, ()) if b.state == state}
    case = replace(case, opened=case.opened | blown)
    volts = dict(zip(car.swept.nodes, car.swept.faulted[state][row, :-1].tolist(), strict=True))
    return Point(fault, case, volts, car.states[state].solution_of(case))


def simulate(text: str, folder) -> dict[str, float]:
    """Node -> volts from the simulator's own operating point."""
    path = folder / "point.cir"
    path.write_text(text)
    ran = subprocess.run(
        ["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=300, check=False
    )
    found = re.findall(r"^v\((\w+)\) = (\S+)$", ran.stdout, re.MULTILINE)
    assert found, ran.stdout + ran.stderr
    return {node: float(volts) for node, volts in found}


def simulated_volts(at: Point, folder) -> dict[str, float]:
    """By the names of our nodes."""
    found = simulate(netlist(at.solution), folder) | {"0": 0.0}
    return {name: found[number] for name, number in node_numbers(at.solution).items()}


def off_by(at: Point, simulated: dict[str, float]) -> dict[str, tuple[float, float]]:
    """Nodes at which the sweep and the simulator differ by more than a millivolt."""
    assert {*simulated} >= {*at.swept}
    return {
        node: (volts, simulated[node])
        for node, volts in at.swept.items()
        if abs(volts - simulated[node]) > WITHIN_V
    }


def chatters(car: Broken, at: Point, name: str, folder) -> bool:
    """Whether a contact can rest in neither position: moved over, it is asked to move back."""
    drawn = name in at.solution.branches
    held = {"opened": at.case.opened | {name}} if drawn else {"closed": at.case.closed | {name}}
    moved = replace(at, solution=car.states[at.case.state].solution_of(replace(at.case, **held)))
    return name in contacts_astray(car, moved, simulated_volts(moved, folder))


def contacts_astray(car: Broken, at: Point, simulated: dict[str, float]) -> list[str]:
    """Contacts whose position is not what the simulator's volts at their control ask for."""
    held = at.case.opened | at.case.closed
    astray = []
    for element in car.network.elements:
        name = element.branch.id
        if not element.control or at.case.state not in element.states or name in held:
            continue
        across = simulated[element.control[0]] - simulated[element.control[1]]
        across = abs(across) if element.either_way else across
        pulled = (across >= element.control_v) != element.inverted
        if pulled != (name in at.solution.branches) and abs(across - element.control_v) > WITHIN_V:
            astray.append(name)
    return astray
