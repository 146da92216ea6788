"""What is at a pin that a schematic draws on another sheet: a bus bar's stud, or a wire."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from buildbook.description.expand.kinds import said_use
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Device


@dataclass(frozen=True)
class DrawnElsewhere:
    """What is at a pin and drawn on another sheet."""

    words: str
    """The stud and bus bar that a fuse is bolted to, or the wire's number; '' for nothing."""
    wire: str = ""
    pin: str = ""
    """The wire's end by which the other sheet is found."""
    on_bus: bool = False


def drawn_elsewhere(
    result: Sized, device: Device, wired: Collection[str], systems: Collection[str]
) -> dict[str, DrawnElsewhere]:
    """Pin -> what is there besides the wires of some systems; `wired` are the pins that have some.

    A fuse on a bus bar names the panel's stud and what it is; any other pin the first wire
    that another one draws. A pin with neither and no wire here is said to have none.
    """
    found: dict[str, DrawnElsewhere] = {}
    for pin in device.pins:
        there = _on_bus(result, device, pin.id) if pin.id not in wired else None
        there = there or _wire_there(result, pin.id, systems)
        if there or pin.id not in wired:
            found[pin.id] = there or DrawnElsewhere("")
    return found


def _on_bus(result: Sized, device: Device, pin: str) -> DrawnElsewhere | None:
    name = bus_of(result, device, pin)
    if not name:
        return None
    stud = name.split(" ")[0]
    wires = result.harness.wire_at.get(stud, ("",))
    return DrawnElsewhere(name, wires[0], stud, True)


def bus_of(result: Sized, device: Device, pin: str) -> str:
    """Stud and bus bar that a fuse's pin is bolted to, '' where it is on none."""
    for bond in device.bonds:
        ends = {bond.from_pin, bond.to_pin}
        if bond.kind == "bus" and device.kind == "fuse" and pin in ends:
            stud = result.vehicle.pins[(ends - {pin}).pop()]
            return f"{stud.id} {said_use(stud.use)}".strip()
    return ""


def _wire_there(result: Sized, pin: str, systems: Collection[str]) -> DrawnElsewhere | None:
    wires, circuits = result.harness.wires, result.vehicle.circuits
    ids = result.harness.wire_at.get(pin, ())
    others = [w for w in ids if circuits[wires[w].circuit].system not in systems]
    return DrawnElsewhere(others[0], others[0], pin) if others else None
