"""What the wires need: wire, cable, terminals, seals, blanks, splices, shrink and labels."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from buildbook.harness.cables import named_pieces
from buildbook.harness.connector_home import home_of
from buildbook.harness.joints import Joint
from buildbook.harness.model import End, Harness, Wire
from buildbook.parts.take_off import TakeOff
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Connector, Vehicle
from buildbook.vehicle.pins import cavities

LIVE_POSTS = ("battery", "alternator", "starter", "isolator")
"""Kinds of device whose posts carry current that no fuse limits: each ring takes a boot."""


def wires_and_labels(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> Iterator[TakeOff]:
    """Wire by type, size and colour, and a label at both of its ends."""
    for wire in harness.wires.values():
        system = system_of(vehicle, wire)
        yield TakeOff("label wire", "Wire label", 2, "piece", wire.harness, system)
        if wire.cable:
            continue
        sized = sizing.wires[wire.id]
        kind = f"{sized.family} {sized.label}"
        yield TakeOff(
            f"wire {kind} {wire.colour}",
            f"Wire, {kind}, {wire.colour}",
            wire.cut_m,
            "m",
            wire.harness,
            system,
            wire.id,
        )


def cables(vehicle: Vehicle, harness: Harness) -> Iterator[TakeOff]:
    """Every length of cable as it is cut: as long as its longest core."""
    for name, cores in named_pieces(harness.wires.values()).items():
        first = cores[0]
        kind = vehicle.description.cables[first.cable].type
        yield TakeOff(
            f"cable {kind}",
            f"Cable, {kind}",
            max(core.cut_m for core in cores),
            "m",
            first.harness,
            system_of(vehicle, first),
            name,
        )


def terminals(
    vehicle: Vehicle, harness: Harness, sizing: Sizing, mates: frozenset[str]
) -> Iterator[TakeOff]:
    """A terminal, boot, seal or cap at every end of every wire, by the wire that goes in."""
    for wire in harness.wires.values():
        label = sizing.wires[wire.id].label
        place = wire.harness, system_of(vehicle, wire)
        for end in (wire.a, wire.b):
            if end.kind == "capped":
                yield TakeOff("end cap", "Insulating end cap", 1, "piece", *place)
            elif end.contact:
                key, what = terminal(end, label, end.connector in mates)
                yield TakeOff(key, what, 1, "piece", *place)
            if end.contact.startswith("ring-") and _is_live(vehicle, end):
                stud = end.contact[5:]
                yield TakeOff(f"boot {end.contact}", f"Terminal boot {stud}", 1, "piece", *place)
            if is_sealed(harness, end):
                yield TakeOff(
                    f"seal {end.contact} {label}",
                    f"Wire seal {end.contact}, {label}",
                    1,
                    "piece",
                    *place,
                )


def terminal(end: End, label: str, mate: bool) -> tuple[str, str]:
    """Key and words for the terminal at an end of a wire of this size."""
    if end.contact.startswith("ring-"):
        return f"terminal {end.contact} {label}", f"Ring terminal {end.contact[5:]}, {label}"
    if mate:
        return f"terminal {end.contact} mate {label}", f"Mating terminal {end.contact}, {label}"
    return f"terminal {end.contact} {label}", f"Terminal {end.contact}, {label}"


def blanks(vehicle: Vehicle, harness: Harness) -> Iterator[TakeOff]:
    """A blank for every cavity that takes one."""
    for name, empty in blanked(harness).items():
        connector = harness.connectors[name]
        place = home_of(harness, connector), device_system(vehicle, connector)
        for cavity in empty:
            family = connector.plug.contacts.get(cavity, connector.plug.contact)
            yield TakeOff(f"blank {family}", f"Cavity blank {family}", 1, "piece", *place)


def blanked(harness: Harness) -> dict[str, tuple[str, ...]]:
    """Connector id -> cavities that take a blank: those of a sealed plug without a wire."""
    filled: dict[str, set[str]] = defaultdict(set)
    for wire in harness.wires.values():
        for end in (wire.a, wire.b):
            filled[end.connector].add(end.cavity)
    return {
        connector.id: tuple(c for c in cavities(connector.plug) if c not in filled[connector.id])
        for connector in harness.connectors.values()
        if connector.plug.sealed
    }


def splices(vehicle: Vehicle, harness: Harness, made: Mapping[str, Joint]) -> Iterator[TakeOff]:
    """The barrel of every splice; lugs and a stud where none takes its copper."""
    for splice in harness.splices.values():
        barrel = made[splice.id].barrel
        key = barrel.id if barrel else f"over {made[splice.id].copper_mm2:.0f} mm2"
        what = barrel.title if barrel else f"lugs on a stud, {made[splice.id].copper_mm2:.0f} mm2"
        system = vehicle.circuits[splice.circuit].system
        yield TakeOff(f"splice {key}", f"Splice, {what}", 1, "piece", splice.harness, system)


def system_of(vehicle: Vehicle, wire: Wire) -> str:
    """The system of a wire's circuit."""
    circuit = vehicle.circuits.get(wire.circuit)
    return circuit.system if circuit else ""


def device_system(vehicle: Vehicle, connector: Connector) -> str:
    """The system of the device that a connector plugs into; '' for pass-throughs."""
    device = vehicle.devices.get(connector.device)
    return device.system if device else ""


def is_sealed(harness: Harness, end: End) -> bool:
    """Whether a terminal takes a wire seal."""
    connector = harness.connectors.get(end.connector)
    return bool(end.contact and connector and connector.plug.sealed)


def _is_live(vehicle: Vehicle, end: End) -> bool:
    """Whether a ring sits on a post that no fuse protects; the negative post needs no boot."""
    pin = vehicle.pins.get(end.node)
    if pin is None or vehicle.devices[pin.device].kind not in LIVE_POSTS:
        return False
    return pin.id != vehicle.supply.earthed_pin
