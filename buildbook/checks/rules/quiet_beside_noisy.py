"""Finds quiet pairs that run beside noisy wires."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import PRACTICE, Context, circuits_at
from buildbook.checks.model import Finding
from buildbook.figures import length
from buildbook.vehicle.bus import can_pairs
from buildbook.vehicle.signals import WEAK_SENSING

RULE = "quiet-beside-noisy"
SEVERITY = "warning or note"
SOURCE = f"{PRACTICE}: signals run apart from ignition, injectors and pulsed motors, or cross them"
NOISY = frozenset({"ignition coil", "injector", "motor", "solenoid", "alternator"})
BESIDE_M, TWISTED_M = 0.3, 1.0
"""Length in one bundle over which wires, and twisted wires, take up what their neighbours do. Our
choice."""


def check(context: Context) -> Iterator[Finding]:
    """Data buses and the wires of weak sensors; a screen keeps the noise out."""
    noise = _noise(context)
    screened = {
        core
        for cable in context.vehicle.description.cables.values()
        if cable.screen
        for core in cable.cores
    }
    for about, what, circuits, bus in _quiet(context):
        bare = [circuit for circuit in circuits if circuit not in screened]
        beside_m, title = _beside(context, bare, noise)
        most_m = TWISTED_M if bus else BESIDE_M
        if beside_m <= most_m:
            continue
        where = context.vehicle.circuits[bare[0]].where
        yield Finding(
            RULE,
            "note" if bus else "warning",
            about,
            f"{what} ('{bare[0]}') runs {length(beside_m)} in one bundle with wires of {title} and "
            f"has no screen; {length(most_m)} are allowed.",
            "Lead it along another run, or give it a screened cable, the screen on a ground at "
            "the controller only.",
            SOURCE,
            where,
        )


def _quiet(context: Context) -> Iterator[tuple[str, str, list[str], bool]]:
    """What a finding is about, what it is called, its circuits, whether it is a data bus."""
    for name, high, low in can_pairs(context.vehicle):
        yield name, f"The twisted pair {name}", [high.id, low.id], True
    for device in context.vehicle.all_of("sensor"):
        if device.written.senses in WEAK_SENSING:
            pins = (circuits_at(context.vehicle, pin.id) for pin in device.pins)
            yield device.id, device.title, [c for found in pins for c in found], False


def _noise(context: Context) -> dict[str, str]:
    """Circuits that switch fast at the end of a noisy device -> the device's title."""
    found: dict[str, str] = {}
    for device in context.vehicle.devices.values():
        for load in device.loads:
            if device.kind not in NOISY or (load.duty == 1.0 and load.frequency_hz is None):
                continue
            for pin in (load.from_pin, load.to_pin):
                for circuit in circuits_at(context.vehicle, pin):
                    if not context.vehicle.circuits[circuit].written.signal:
                        found.setdefault(circuit, device.title)
    return found


def _beside(context: Context, circuits: list[str], noise: dict[str, str]) -> tuple[float, str]:
    """Rope that a pair shares with noisy wires, m, and the device of the first of them."""
    along = {run.id: run.length_m for run in context.vehicle.runs}
    shared, title = 0.0, ""
    for bundle in context.harness.bundles.values():
        held = [context.harness.wires[wire].circuit for wire in bundle.wires]
        near = next((noise[c] for c in held if c in noise and c not in circuits), "")
        if near and set(circuits) & set(held):
            shared, title = shared + along[bundle.run], title or near
    return shared, title
