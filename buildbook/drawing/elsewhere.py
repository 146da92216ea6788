"""What a schematic says beside a pin whose wire it does not draw: where that pin is fed from."""

from __future__ import annotations

from buildbook.result import Result
from buildbook.vehicle.model import Device


def elsewhere(result: Result, device: Device, wired: set[str]) -> dict[str, str]:
    """Pin -> words, for the pins of a device that are not among those wired here.

    A fuse on a bus bar names the panel's stud and what it is; a pin with a wire of another
    system names that wire and system.
    """
    found: dict[str, str] = {}
    for pin in device.pins:
        if pin.id in wired:
            continue
        bus = bus_of(result, device, pin.id)
        found[pin.id] = bus or _wire_words(result, pin.id)
    return found


def bus_of(result: Result, device: Device, pin: str) -> str:
    """Stud and bus bar that a fuse's pin is bolted to, '' where it is on none."""
    for bond in device.bonds:
        ends = {bond.from_pin, bond.to_pin}
        if bond.kind == "bus" and device.kind == "fuse" and pin in ends:
            stud = result.vehicle.pins[(ends - {pin}).pop()]
            return f"{stud.id} {stud.use}".strip()
    return ""


def _wire_words(result: Result, pin: str) -> str:
    for wire in result.harness.wires.values():
        if any(end.kind == "pin" and end.node == pin for end in (wire.a, wire.b)):
            return f"({wire.id}, {result.vehicle.circuits[wire.circuit].system})"
    return "(not wired)"
