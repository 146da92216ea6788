"""Finds quiet pairs that run beside noisy wires."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.questions import circuits_at
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.vehicle.bus import can_pairs
from buildbook.vehicle.signals import WEAK_SENSING
from buildbook.words.say import say

RULE = "quiet-beside-noisy"
SEVERITY = "warning or note"
SOURCE = f"{PRACTICE}: signals run apart from ignition, injectors and pulsed motors, or cross them"
NOISY = frozenset({"ignition coil", "injector", "motor", "solenoid", "alternator"})
BESIDE_M, TWISTED_M = 0.3, 1.0
"""Length in one bundle over which wires, and twisted wires, take up what their neighbours do. Our
choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Data buses and the wires of weak sensors; a screen keeps the noise out."""
    noise = _noise(assessed)
    screened = {
        core
        for cable in assessed.vehicle.description.cables.values()
        if cable.screen
        for core in cable.cores
    }
    for about, what, circuits, bus in _quiet(assessed):
        bare = [circuit for circuit in circuits if circuit not in screened]
        beside_m, title = _beside(assessed, bare, noise)
        most_m = TWISTED_M if bus else BESIDE_M
        if beside_m <= most_m:
            continue
        where = assessed.vehicle.circuits[bare[0]].where
        yield Finding(
            RULE,
            "note" if bus else "warning",
            about,
            say(
                "{what} ('{bare}') runs {beside_m} in one bundle with wires of {title} and "
                "has no screen; {most_m} are allowed.",
                what=what,
                bare=bare[0],
                beside_m=length(beside_m),
                title=title,
                most_m=length(most_m),
            ),
            say(
                "Lead it along another run, or give it a screened cable, the screen on a "
                "ground at the controller only."
            ),
            SOURCE,
            where,
        )


def _quiet(assessed: Assessed) -> Iterator[tuple[str, str, list[str], bool]]:
    """What a finding is about, what it is called, its circuits, whether it is a data bus."""
    for name, high, low in can_pairs(assessed.vehicle):
        yield name, say("The twisted pair {name}", name=name), [high.id, low.id], True
    for device in assessed.vehicle.all_of("sensor"):
        if device.written.senses in WEAK_SENSING:
            pins = (circuits_at(assessed.vehicle, pin.id) for pin in device.pins)
            yield device.id, device.title, [c for found in pins for c in found], False


def _noise(assessed: Assessed) -> dict[str, str]:
    """Circuits that switch fast at the end of a noisy device -> the device's title."""
    found: dict[str, str] = {}
    for device in assessed.vehicle.devices.values():
        for load in device.loads:
            if device.kind not in NOISY or (load.duty == 1.0 and load.frequency_hz is None):
                continue
            for pin in (load.from_pin, load.to_pin):
                for circuit in circuits_at(assessed.vehicle, pin):
                    if not assessed.vehicle.circuits[circuit].written.signal:
                        found.setdefault(circuit, device.title)
    return found


def _beside(assessed: Assessed, circuits: list[str], noise: dict[str, str]) -> tuple[float, str]:
    """Rope that a pair shares with noisy wires, m, and the device of the first of them."""
    along = {run.id: run.length_m for run in assessed.vehicle.runs}
    shared, title = 0.0, ""
    for bundle in assessed.harness.bundles.values():
        held = [assessed.harness.wires[wire].circuit for wire in bundle.wires]
        near = next((noise[c] for c in held if c in noise and c not in circuits), "")
        if near and set(circuits) & set(held):
            shared, title = shared + along[bundle.run], title or near
    return shared, title
