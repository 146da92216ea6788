"""Faults that nobody sees: the reason, and a test that finds each."""

from __future__ import annotations

from buildbook.electrical.model import Solved
from buildbook.faultfinding.model import Fault, Silent
from buildbook.faultfinding.swaps import pairs_of
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle

TINY_A = 1e-6
"""Current below which a branch counts as carrying nothing: a pull-up's is a hundred times that."""


LEVEL_V = 0.1
"""Volts from the body under which joining a wire to it moves nothing. Our choice."""

TURNS_SIGN = ("inductive", "knock", "speed", "thermocouple")
"""What a coil, a crystal or a junction measures: turned round, its volts change their sign."""


def unseen(vehicle: Vehicle, harness: Harness, solved: Solved, fault: Fault) -> Silent:
    """Why a fault shows nothing, and what to measure to find it all the same."""
    why = _why(vehicle, harness, solved, fault)
    buzzing = [s.state for s in solved.meter.values() if s.unsettled]
    if buzzing:
        why += f"; what it does in {' and '.join(buzzing)} is not to be predicted: a contact buzzes"
    return Silent(fault.id, why, _test(vehicle, harness, fault))


def _why(vehicle: Vehicle, harness: Harness, solved: Solved, fault: Fault) -> str:
    if fault.mode == "short":
        return _why_short(harness, solved, fault)
    if fault.mode == "stuck":
        return _why_stuck(solved, fault)
    if fault.mode == "swap":
        return _why_swap(vehicle, fault)
    if fault.kind == "alternator":
        return "it charges in no state described"
    most = _most_a(solved, fault.branch)
    if most < TINY_A:
        return "nothing flows through it in any state described"
    if fault.mode == "resistive":
        return f"even {fault.ohms:g} ohm takes too little from what it carries"
    return "another path carries on, or it serves only what a driver does not see"


def _most_a(solved: Solved, branch: str) -> float:
    solutions = solved.meter.values()
    return max((abs(s.current_a.get(branch, 0.0)) for s in solutions), default=0.0)


def _why_short(harness: Harness, solved: Solved, fault: Fault) -> str:
    """A wire that stands at the body's voltage alters nothing there; another gives too little."""
    node = harness.wires[fault.branch.partition(":")[2]].a.node
    apart_v = [
        abs(s.volts[node] - s.volts.get("chassis", 0.0))
        for s in solved.meter.values()
        if node in s.volts
    ]
    if max(apart_v, default=0.0) < LEVEL_V:
        return "the wire is at the body's voltage in every state described"
    return "what then flows opens no fuse, and all that it leads to works or stays off as before"


def _why_stuck(solved: Solved, fault: Fault) -> str:
    contact = fault.branch.partition(":")[2]
    closed = [contact in solution.closed for solution in solved.meter.values()]
    if all(closed):
        return "it is closed in every state described"
    return "where it should be open, what it switches has no feed, is held off elsewhere or is on"


def _why_swap(vehicle: Vehicle, fault: Fault) -> str:
    """One circuit, something that has no direction, or nothing in the states described."""
    pairs = pairs_of(fault)
    circuits = vehicle.circuit_of_pin
    if all({*circuits.get(a, ())} & {*circuits.get(b, ())} for a, b in pairs):
        return "both are on one circuit"
    if len(pairs) > 1:
        return "both places do the same in every state described"
    ((a, b),) = pairs
    device = vehicle.devices[vehicle.pins[a].device]
    ends = {a, b}
    if any({c.from_pin, c.to_pin} == ends for c in device.contacts):
        return "a switch leads either way round"
    if any({load.from_pin, load.to_pin} == ends for load in device.loads):
        if device.written.senses in TURNS_SIGN:
            return "its volts change their sign, which only an oscilloscope or the controller sees"
        return "it works either way round"
    return "both places do the same in every state described"


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
