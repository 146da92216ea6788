"""Faults that nobody sees: the reason, and a test that finds each."""

from __future__ import annotations

from buildbook.electrical.model import Solved
from buildbook.faultfinding.model import Fault, Silent
from buildbook.faultfinding.swaps import pairs_of
from buildbook.harness.model import Harness, Wire
from buildbook.vehicle.model import Vehicle
from buildbook.words.joined import all_of
from buildbook.words.say import say

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
        why += "; " + say(
            "what it does in {states} is not to be predicted: a contact buzzes",
            states=all_of(buzzing),
        )
    return Silent(fault.id, why, *_tests(harness, fault))


def _why(vehicle: Vehicle, harness: Harness, solved: Solved, fault: Fault) -> str:
    if fault.mode == "short":
        return _why_short(harness, solved, fault)
    if fault.mode == "stuck":
        return _why_stuck(solved, fault)
    if fault.mode == "swap":
        return _why_swap(vehicle, fault)
    if fault.kind == "alternator":
        return say("it charges in no state described")
    most = _most_a(solved, fault.branch)
    if most < TINY_A:
        return say("nothing flows through it in any state described")
    if fault.mode == "resistive":
        return say("even {ohms:g} ohm takes too little from what it carries", ohms=fault.ohms)
    return say("another path carries on, or it serves only what a driver does not see")


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
        return say("the wire is at the body's voltage in every state described")
    return say(
        "what then flows opens no fuse, and all that it leads to works or stays off as before"
    )


def _why_stuck(solved: Solved, fault: Fault) -> str:
    contact = fault.branch.partition(":")[2]
    closed = [contact in solution.closed for solution in solved.meter.values()]
    if all(closed):
        return say("it is closed in every state described")
    return say(
        "where it should be open, what it switches has no feed, is held off elsewhere or is on"
    )


def _why_swap(vehicle: Vehicle, fault: Fault) -> str:
    """One circuit, something that has no direction, or nothing in the states described."""
    pairs = pairs_of(fault)
    circuits = vehicle.circuit_of_pin
    if all({*circuits.get(a, ())} & {*circuits.get(b, ())} for a, b in pairs):
        return say("both are on one circuit")
    if len(pairs) > 1:
        return say("both places do the same in every state described")
    ((a, b),) = pairs
    device = vehicle.devices[vehicle.pins[a].device]
    ends = {a, b}
    if any({c.from_pin, c.to_pin} == ends for c in device.contacts):
        return say("a switch leads either way round")
    if any({load.from_pin, load.to_pin} == ends for load in device.loads):
        if device.written.senses in TURNS_SIGN:
            return say(
                "its volts change their sign, which only an oscilloscope or the controller sees"
            )
        return say("it works either way round")
    return say("both places do the same in every state described")


def _tests(harness: Harness, fault: Fault) -> tuple[str, str]:
    """The test of this very part, and in words that all parts of its kind share.

    A wire's ends stand in its table.
    """
    ref = fault.branch.partition(":")[2]
    if fault.kind in ("alternator", "battery"):
        return (_test_of_source(fault.kind),) * 2
    if fault.mode == "swap":
        pins = all_of([" ".join(pair) for pair in pairs_of(fault)])
        return (
            say("battery off: continuity of each of {pins} to its far end", pins=pins),
            say("battery off: continuity of each to its far end"),
        )
    if fault.kind == "wire" and (wire := harness.wires.get(ref)):
        return _tests_of_wire(wire, fault.mode)
    if fault.mode == "stuck":
        return (
            say("battery off: endless ohms across {part}", part=ref),
            say("battery off: endless ohms across it"),
        )
    if fault.kind == "load":
        return (
            say("unplugged: ohms across {part} as in its data", part=ref),
            say("unplugged: ohms across it as in its data"),
        )
    if fault.kind == "source":
        return (
            say("plugged in, ignition on: volts at {part}", part=ref),
            say("plugged in, ignition on: volts at it"),
        )
    if fault.kind == "contact":
        return (
            say("worked by hand, battery off: under 0.5 ohm across {part}", part=ref),
            say("worked by hand, battery off: under 0.5 ohm across it"),
        )
    return (
        say("battery off: under 0.5 ohm across {part}; pull each wire at it", part=ref),
        say("battery off: under 0.5 ohm across it; pull each wire at it"),
    )


def _test_of_source(kind: str) -> str:
    if kind == "alternator":
        return say("volts across the battery, engine running: they must rise above those at rest")
    return say("volts across the posts while the engine is cranked")


def _tests_of_wire(wire: Wire, mode: str) -> tuple[str, str]:
    start, end = wire.a.node, wire.b.node
    if mode == "short":
        return (
            say(
                "both ends of {wire} undone: ohms from {end} to the body must be endless",
                wire=wire.id,
                end=start,
            ),
            say("both ends of it undone: ohms from one end to the body must be endless"),
        )
    return (
        say("both ends undone: under 1 ohm from {end} to {other}", end=start, other=end),
        say("both ends undone: under 1 ohm from end to end"),
    )
