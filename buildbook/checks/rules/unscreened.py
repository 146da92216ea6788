"""Finds weak signals without a screened cable."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import PRACTICE, Context, circuits_at
from buildbook.checks.model import Finding

RULE = "signal-unscreened"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: pickups, knock sensors and thermocouples have screened cable"
WEAK = frozenset({"inductive", "knock", "thermocouple"})
NOISY = frozenset({"ignition coil", "injector", "motor", "solenoid", "alternator"})


def check(context: Context) -> Iterator[Finding]:
    """Look at the cable of each such signal, and at what runs beside it."""
    vehicle = context.vehicle
    cables = vehicle.description.cables.values()
    screened = {c for cable in cables if cable.screen for c in cable.cores}
    noise = {c.id: vehicle.devices[p.device].title for c in vehicle.circuits.values()
             for p in c.pins if vehicle.devices[p.device].kind in NOISY
             and not c.written.signal}  # fmt: skip
    for device in vehicle.all_of("sensor"):
        if device.written.senses not in WEAK:
            continue
        bare = [c for pin in device.pins for c in circuits_at(vehicle, pin.id) if c not in screened]
        if not bare:
            continue
        beside = _beside(context, bare[0], noise)
        yield Finding(
            RULE, "warning", device.id,
            f"{device.title} is {device.written.senses} and {bare[0]} runs unscreened"
            f"{f', beside wires of {beside}' if beside else ''}: the controller may count sparks.",
            "Make its wires a cable (cables: type: shielded 2) with the screen on a ground at the "
            "controller only.",
            SOURCE, device.where,
        )  # fmt: skip


def _beside(context: Context, circuit: str, noise: dict[str, str]) -> str:
    """The first noisy device whose wires share a run with the circuit."""
    for bundle in context.harness.bundles.values():
        circuits = [context.harness.wires[w].circuit for w in bundle.wires]
        if circuit in circuits:
            for other in circuits:
                if other in noise:
                    return noise[other]
    return ""
