"""Finds sensors whose return shares a wire with the current of a load."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.conducting import reach
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import circuits_at, loads
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.sizing.rated_parts import largest_a
from buildbook.vehicle.model import Circuit, Device, Load
from buildbook.words.say import say

RULE = "sensor-return-shared"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: what a load's current drops along a shared return is added to the reading"
MOST_A = 0.1
"""More than this is a load and not a sensor. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at what else hangs on the return of each sensor, up to the stud where it ends.

    A current loop reads the same whatever its wires drop, and a switch nearly so.
    """
    vehicle = assessed.vehicle
    heavy = _heavy(assessed)
    for device in vehicle.devices.values():
        for signal in device.signals:
            circuits = circuits_at(vehicle, signal.return_pin)
            if not circuits or signal.written.switch or signal.written.current:
                continue
            near = _spliced(assessed, vehicle.circuits[circuits[0]], signal.return_pin)
            sharing = [
                found
                for pin in sorted(near)
                for found in heavy.get(pin, ())
                if found[0].id != device.id
            ]
            if not sharing:
                continue
            other, load, amps = max(sharing, key=lambda found: (found[2], found[1].id))
            yield Finding(
                RULE,
                "warning",
                signal.pin,
                say(
                    "The return of {device} shares a wire of '{circuit}' with {other}, which "
                    "draws {amps} A; {most:g} A is allowed beside a sensor. Its reading "
                    "moves each time that load switches.",
                    device=called(device.title, signal.return_pin),
                    circuit=circuits[0],
                    other=called(other.title, load.id),
                    amps=significant(amps, 2),
                    most=MOST_A,
                ),
                say(
                    "Give {device} a return of its own, to the sensor ground of what reads it.",
                    device=device.title,
                ),
                SOURCE,
                vehicle.circuits[circuits[0]].where,
            )


def _heavy(assessed: Assessed) -> dict[str, list[tuple[Device, Load, float]]]:
    """Pin -> loads there that draw more than a sensor does."""
    found: dict[str, list[tuple[Device, Load, float]]] = {}
    for device, load in loads(assessed.vehicle):
        amps, _ = largest_a(assessed.solved, f"load:{load.id}")
        if amps > MOST_A:
            for pin in (load.from_pin, load.to_pin):
                found.setdefault(pin, []).append((device, load, amps))
    return found


def _spliced(assessed: Assessed, circuit: Circuit, pin: str) -> frozenset[str]:
    """Pins of a circuit that share wire with one of them; wires only meet at a stud, not share."""
    studs = {p.id for p in circuit.pins if p.stud}
    edges = [
        (wire.a.node, wire.b.node)
        for wire in assessed.harness.wires.values()
        if wire.circuit == circuit.id and not {wire.a.node, wire.b.node} & studs
    ]
    for passing in assessed.harness.pass_pins:
        halves = [f"{passing.device}.{passing.cavity}/{home}" for home in passing.wires]
        edges += zip(halves, halves[1:], strict=False) if passing.circuit == circuit.id else ()
    return reach(edges, pin)
