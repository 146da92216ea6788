"""Faults that nobody sees: the reason, and a test that finds each."""

from __future__ import annotations

from buildbook.electrical.model import Solved
from buildbook.faultfinding.model import Fault, Silent
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle

TINY_A = 0.0005
"""Current below which a branch counts as carrying nothing."""


def unseen(vehicle: Vehicle, harness: Harness, solved: Solved, fault: Fault) -> Silent:
    """Why a fault shows nothing, and what to measure to find it all the same."""
    why, buzzing = _why(solved, fault), [s.state for s in solved.meter.values() if s.unsettled]
    if buzzing:
        why += f"; what it does in {' and '.join(buzzing)} is not to be predicted: a contact buzzes"
    return Silent(fault.id, why, _test(vehicle, harness, fault))


def _why(solved: Solved, fault: Fault) -> str:
    solutions = solved.meter.values()
    most = max((abs(s.current_a.get(fault.branch, 0.0)) for s in solutions), default=0.0)
    if fault.kind == "alternator":
        return "the battery carries on alone until it is flat"
    if fault.mode == "short":
        return "the wire is at the body's voltage anyway, or nothing it feeds is on"
    if fault.mode == "stuck":
        return "what it switches is on, or held off elsewhere, in every state described"
    if fault.mode == "swap":
        return "both places do the same in every state described"
    if most < TINY_A:
        return "nothing flows through it in any state described"
    if fault.mode == "resistive":
        return f"even {fault.ohms:g} ohm takes too little from what it carries"
    return "another path carries on, or it serves only what a driver does not see"


def _test(vehicle: Vehicle, harness: Harness, fault: Fault) -> str:
    ref = fault.branch.partition(":")[2]
    if fault.kind == "alternator":
        return "volts across the battery, engine running: they must rise above those at rest"
    if fault.kind == "battery":
        return "volts across the posts while the engine is cranked"
    if fault.mode == "swap":
        return f"battery off: continuity of each of {ref.replace(',', ' and ')} to its far end"
    if fault.kind == "wire" and (wire := harness.wires.get(ref)):
        if fault.mode == "short":
            return f"both ends of {ref} undone: ohms from {wire.a.node} to the body must be endless"
        return f"both ends undone: under 1 ohm from {wire.a.node} to {wire.b.node}"
    if fault.mode == "stuck":
        return f"battery off: endless ohms across {ref}"
    if fault.kind == "load":
        return f"unplugged: ohms across {ref} as in its data"
    if fault.kind == "source":
        return f"plugged in, ignition on: volts at {ref}"
    if fault.kind == "contact":
        return f"worked by hand, battery off: under 0.5 ohm across {ref}"
    return f"battery off: under 0.5 ohm across {ref}; pull each wire at it"
