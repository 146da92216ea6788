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
from buildbook.words.say import in_figures, say

LIVE_POSTS = ("battery", "alternator", "starter", "isolator")
"""Kinds of device whose posts carry current that no fuse limits: each ring takes a boot."""


def wires_and_labels(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> Iterator[TakeOff]:
    """Wire by type, size and colour, and a label at both of its ends."""
    for wire in harness.wires.values():
        system = system_of(vehicle, wire)
        yield TakeOff("label wire", say("Wire label"), 2, "piece", wire.harness, system)
        if wire.cable:
            continue
        sized = sizing.wires[wire.id]
        kind = f"{sized.family} {sized.label}"
        yield TakeOff(
            f"wire {kind} {wire.colour}",
            say(
                "Wire, {family} {size}, {colour}",
                family=sized.family,
                size=in_figures(sized.label),
                colour=wire.colour,
            ),
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
            say("Cable, {kind}", kind=kind),
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
                yield TakeOff("end cap", say("Insulating end cap"), 1, "piece", *place)
            elif end.contact:
                key, what = terminal(end, label, end.connector in mates)
                yield TakeOff(key, what, 1, "piece", *place)
            if end.contact.startswith("ring-") and _is_live(vehicle, end):
                stud = end.contact[5:]
                what = say("Terminal boot {stud}", stud=stud)
                yield TakeOff(f"boot {end.contact}", what, 1, "piece", *place)
            if is_sealed(harness, end):
                yield TakeOff(
                    f"seal {end.contact} {label}",
                    say("Wire seal {contact}, {size}", contact=end.contact, size=in_figures(label)),
                    1,
                    "piece",
                    *place,
                )


def terminal(end: End, label: str, mate: bool) -> tuple[str, str]:
    """Key and words for the terminal at an end of a wire of this size."""
    second = mate and not end.contact.startswith("ring-")
    key = f"terminal {end.contact}{' mate' if second else ''} {label}"
    return key, f"{terminal_words(end, mate)}, {in_figures(label)}"


def terminal_words(end: End, mate: bool) -> str:
    """The same without the size of the wire."""
    if end.contact.startswith("ring-"):
        return say("Ring terminal {stud}", stud=end.contact[5:])
    if mate:
        return say("Mating terminal {contact}", contact=end.contact)
    return say("Terminal {contact}", contact=end.contact)


def blanks(vehicle: Vehicle, harness: Harness) -> Iterator[TakeOff]:
    """A blank for every cavity that takes one."""
    for name, empty in blanked(harness).items():
        connector = harness.connectors[name]
        place = home_of(harness, connector), device_system(vehicle, connector)
        for cavity in empty:
            family = connector.plug.contacts.get(cavity, connector.plug.contact)
            what = say("Cavity blank {family}", family=family)
            yield TakeOff(f"blank {family}", what, 1, "piece", *place)


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
        barrel, copper_mm2 = made[splice.id].barrel, made[splice.id].copper_mm2
        key = barrel.id if barrel else f"over {copper_mm2:.0f} mm2"
        what = (
            say("Splice, {barrel}", barrel=say(barrel.title))
            if barrel
            else say("Splice, lugs on a stud, {copper_mm2:.0f} mm2", copper_mm2=copper_mm2)
        )
        system = vehicle.circuits[splice.circuit].system
        yield TakeOff(f"splice {key}", what, 1, "piece", splice.harness, system)


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
