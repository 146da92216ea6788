"""What the devices need: housings, fuses, relays, bases, the panel, ground studs, the devices."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.harness.connector_home import home_of
from buildbook.harness.model import Harness
from buildbook.parts.take_off import TakeOff
from buildbook.parts.wire_needs import device_system
from buildbook.sizing.fuse_rating import need_of
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle
from buildbook.words.say import mark, say

TAKEN = {"lock": mark("Lock for {type}"), "backshell": mark("Backshell for {type}")}
"""What a type of plug takes beside its contacts."""


def halves(vehicle: Vehicle, harness: Harness) -> Iterator[tuple[str, bool]]:
    """Connector ids of pass-through halves, and whether each mates with the usual one.

    The half with pins mates with sockets, as a device's own plug has; where no gender is
    known, the second half mates with the first.
    """
    for passing in vehicle.pass_throughs:
        for place, harness_id in enumerate(passing.harnesses):
            half = f"{passing.device}/{harness_id}"
            if half in harness.connectors:
                gender = harness.connectors[half].gender
                yield half, gender == "pin" if gender else place == 1


def housings(vehicle: Vehicle, harness: Harness) -> Iterator[TakeOff]:
    """A housing for every plug, both halves of every pass-through, and what its type takes."""
    mates = dict(halves(vehicle, harness))
    existing = {f"{p.device}/{p.harnesses[1]}" for p in vehicle.pass_throughs if p.on_vehicle}
    for connector in harness.connectors.values():
        place = home_of(harness, connector), device_system(vehicle, connector)
        kind = connector.plug_type
        yield TakeOff("label connector", say("Connector label"), 1, "piece", *place)
        if connector.id in existing:
            continue
        is_mate = bool(mates.get(connector.id))
        what = say("Housing {type}", type=plug_words(kind, is_mate))
        mate = " mate" if is_mate else ""
        yield TakeOff(f"housing {kind}{mate}", what, 1, "piece", *place)
        for piece in connector.plug.takes:
            what = say(TAKEN[piece], type=kind)
            yield TakeOff(f"{piece} {kind}", what, 1, "piece", *place)


def plug_words(kind: str, is_mate: bool) -> str:
    """A type of plug, or the half that mates with it."""
    return say("{type} mate", type=kind) if is_mate else kind


def fuses(vehicle: Vehicle, sizing: Sizing) -> Iterator[TakeOff]:
    """Fuses by type and rating; one that no panel carries takes a holder."""
    for fuse_id, sized in sizing.fuses.items():
        device = vehicle.devices[fuse_id]
        if device.written.on_vehicle:
            continue
        kind = device.written.fuse
        yield TakeOff(
            need_of(kind, sized.rating_a),
            say("Fuse, {type}, {rating_a:g} A", type=kind, rating_a=sized.rating_a),
            1,
            "piece",
            "",
            device.system,
        )
        if not device.panel:
            what = say("Fuse holder, {type}", type=kind)
            yield TakeOff(f"holder {kind}", what, 1, "piece", "", device.system)


def devices(vehicle: Vehicle) -> Iterator[TakeOff]:
    """Devices with a part, relays and their bases, panels and ground studs.

    Any other device without a part is taken to be on the vehicle already.
    """
    for device in vehicle.devices.values():
        if device.written.on_vehicle:
            continue
        place = "", device.system
        part = vehicle.description.parts.get(device.written.part or "")
        if device.written.part:
            yield TakeOff(
                f"part {device.written.part}",
                part.what if part else device.title,
                1,
                "piece",
                *place,
            )
        elif device.kind == "relay":
            yield TakeOff("relay", say("Relay"), 1, "piece", *place)
        elif device.kind == "panel":
            yield TakeOff("panel", say("Fuse and relay panel"), 1, "piece", *place)
        elif device.kind == "ground" and device.pins:
            stud = device.pins[0].contact.id.removeprefix("ring-")
            yield TakeOff(
                f"stud {stud}",
                say("Ground stud {stud} with serrated washers and nut", stud=stud),
                1,
                "piece",
                *place,
            )
        if device.kind == "relay" and not device.panel:
            yield TakeOff("base relay", say("Relay base"), 1, "piece", *place)


def consumables(vehicle: Vehicle, harness: Harness) -> Iterator[TakeOff]:
    """By rule, common practice, no source: a can of cleaner; grease for seals and for studs."""
    if harness.wires:
        yield TakeOff("consumable cleaner", say("Contact cleaner, can"), 1, "piece")
    if any(c.plug.sealed for c in harness.connectors.values()):
        what = say("Silicone grease for seals, tube")
        yield TakeOff("consumable seal grease", what, 1, "piece")
    if vehicle.all_of("ground"):
        what = say("Protective grease for ground studs, tube")
        yield TakeOff("consumable stud grease", what, 1, "piece")


def without_part(vehicle: Vehicle) -> tuple[str, ...]:
    """Devices that nothing is bought for: they are taken to be on the vehicle already."""
    bought = ("relay", "panel", "ground", "fuse", "pass-through")
    devices = vehicle.devices.values()
    return tuple(
        d.id
        for d in devices
        if d.written.on_vehicle or (not d.written.part and d.kind not in bought)
    )
