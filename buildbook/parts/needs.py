"""What the vehicle needs: wire, cable, terminals, seals, housings, fuses, splices and cover."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from buildbook.catalogue.model import Clamp, Sleeve
from buildbook.harness.bundles import bundle_diameter_mm
from buildbook.harness.model import End, Harness, Wire
from buildbook.parts.cover import covered_mm, smallest_around
from buildbook.parts.model import Need
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Connector, Vehicle

WIRE_MARGIN = 1.10
"""Bought length over cut length, for offcuts and mistakes. Common practice, no source."""

COVER_MARGIN = 1.15
"""Braid shortens as it widens; bought length over run length. Common practice, no source."""

SPARE_FUSES = 1
"""Spare fuses carried for each rating. Common practice, no source."""

TIE_SPACING_M = 0.15
"""Distance between ties. Common practice, no source."""


@dataclass(frozen=True)
class Entry:
    """One use of one thing, before uses of the same key are added up."""

    key: str
    what: str
    quantity: float
    unit: str
    used_by: str


def needs(
    vehicle: Vehicle,
    harness: Harness,
    sizing: Sizing,
    sleeves: tuple[Sleeve, ...] = (),
    clamps: tuple[Clamp, ...] = (),
) -> tuple[Need, ...]:
    """Return everything that must be bought, sorted by key; lengths in metres."""
    entries = [
        *_wire_entries(harness, sizing),
        *_cable_entries(vehicle, harness),
        *_terminal_entries(vehicle, harness, sizing),
        *_cavity_entries(harness),
        *_housing_entries(vehicle, harness),
        *_fuse_entries(vehicle, sizing),
        *_splice_entries(harness, sizing),
        *_cover_entries(vehicle, harness, sizing, sleeves, clamps),
        *_label_entries(harness),
        *_device_entries(vehicle),
    ]
    return _added_up(entries)


def _added_up(entries: list[Entry]) -> tuple[Need, ...]:
    by_key: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        by_key[entry.key].append(entry)
    return tuple(
        Need(
            key,
            found[0].what,
            round(sum(e.quantity for e in found), 3),
            found[0].unit,
            tuple(sorted({e.used_by for e in found if e.used_by})),
        )
        for key, found in sorted(by_key.items())
    )


def _wire_entries(harness: Harness, sizing: Sizing) -> Iterator[Entry]:
    for wire in harness.wires.values():
        if wire.cable:
            continue
        sized = sizing.wires[wire.id]
        kind = f"{sized.family} {sized.label}"
        yield Entry(
            f"wire {kind} {wire.colour}", f"Wire, {kind}, {wire.colour}",
            wire.cut_m * WIRE_MARGIN, "m", wire.harness,
        )  # fmt: skip


def _cable_entries(vehicle: Vehicle, harness: Harness) -> Iterator[Entry]:
    """A cable is as long as its longest core in each harness."""
    lengths: dict[tuple[str, str], dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for wire in harness.wires.values():
        if wire.cable:
            lengths[wire.cable, wire.harness][wire.circuit] += wire.cut_m
    for (cable, harness_id), by_circuit in lengths.items():
        kind = vehicle.description.cables[cable].type
        longest = max(by_circuit.values())
        yield Entry(f"cable {kind}", f"Cable, {kind}", longest * WIRE_MARGIN, "m", harness_id)


def _terminal_entries(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> Iterator[Entry]:
    mates = {half for half, second in _halves(vehicle, harness) if second}
    for wire in harness.wires.values():
        label = sizing.wires[wire.id].label
        for end in (wire.a, wire.b):
            if end.kind == "capped":
                yield Entry("end cap", "Insulating end cap", 1, "piece", wire.harness)
            elif end.contact:
                yield _terminal(end, label, end.connector in mates, wire.harness)


def _terminal(end: End, label: str, mate: bool, harness_id: str) -> Entry:
    if end.contact.startswith("ring-"):
        key, what = f"terminal {end.contact} {label}", f"Ring terminal {end.contact[5:]}, {label}"
    elif mate:
        key, what = f"terminal {end.contact} mate", f"Mating terminal {end.contact}"
    else:
        key, what = f"terminal {end.contact}", f"Terminal {end.contact}"
    return Entry(key, what, 1, "piece", harness_id)


def _cavity_entries(harness: Harness) -> Iterator[Entry]:
    """A sealed plug needs a seal on every wire and a blank in every empty cavity."""
    for connector in harness.connectors.values():
        if not connector.plug.sealed:
            continue
        filled = {
            end.cavity: wire.harness
            for wire in harness.wires.values()
            for end in (wire.a, wire.b)
            if end.connector == connector.id
        }
        by = connector.harness or next(iter(filled.values()), "")
        for cavity in cavities(connector):
            family = connector.plug.contacts.get(cavity, connector.plug.contact)
            kind, what = ("seal", "Wire seal") if cavity in filled else ("blank", "Cavity blank")
            yield Entry(f"{kind} {family}", f"{what} {family}", 1, "piece", by)


def cavities(connector: Connector) -> tuple[str, ...]:
    """Every cavity of a connector's plug, in the order of its rows or rings."""
    groups = [*connector.plug.rows, *connector.plug.rings]
    listed = tuple(cavity for group in groups for cavity in group if cavity is not None)
    return listed or tuple(pin.cavity for pin in connector.pins)


def _halves(vehicle: Vehicle, harness: Harness) -> Iterator[tuple[str, bool]]:
    """Connector ids of pass-through halves, and whether each is the second half."""
    for passing in vehicle.pass_throughs:
        for place, harness_id in enumerate(passing.harnesses):
            half = f"{passing.device}/{harness_id}"
            if half in harness.connectors:
                yield half, place == 1


def _housing_entries(vehicle: Vehicle, harness: Harness) -> Iterator[Entry]:
    seconds = dict(_halves(vehicle, harness))
    existing = {passing.device for passing in vehicle.pass_throughs if passing.on_vehicle}
    for connector in harness.connectors.values():
        second = seconds.get(connector.id, False)
        if second and connector.device in existing:
            continue
        mate = " mate" if second else ""
        yield Entry(
            f"housing {connector.plug_type}{mate}", f"Housing {connector.plug_type}{mate}",
            1, "piece", connector.harness or _harness_at(harness, connector),
        )  # fmt: skip


def _harness_at(harness: Harness, connector: Connector) -> str:
    found = (
        wire.harness
        for wire in harness.wires.values()
        if connector.id in (wire.a.connector, wire.b.connector)
    )
    return next(found, "")


def _fuse_entries(vehicle: Vehicle, sizing: Sizing) -> Iterator[Entry]:
    spares: set[str] = set()
    for fuse_id, sized in sizing.fuses.items():
        device = vehicle.devices[fuse_id]
        key = f"fuse {device.written.fuse} {sized.rating_a:g} A"
        what = f"Fuse, {device.written.fuse}, {sized.rating_a:g} A"
        yield Entry(key, what, 1, "piece", device.system)
        if key not in spares:
            spares.add(key)
            yield Entry(key, what, SPARE_FUSES, "piece", "spares")


def _splice_entries(harness: Harness, sizing: Sizing) -> Iterator[Entry]:
    """A splice is bought for the largest wire in it."""
    for splice in harness.splices.values():
        largest = max((sizing.wires[w] for w in splice.wires), key=lambda s: s.area_mm2)
        key = f"splice {largest.label}"
        yield Entry(key, f"Splice, {largest.label}", 1, "piece", splice.harness)


def bundle_mm(wires: list[Wire], vehicle: Vehicle, sizing: Sizing) -> float:
    """Diameter in mm of a bundle of wires, packed."""
    return bundle_diameter_mm([outside_mm(vehicle, sizing, wire.id) for wire in wires])


def outside_mm(vehicle: Vehicle, sizing: Sizing, wire: str) -> float:
    """Outside diameter in mm of a wire with its insulation, from the catalogue."""
    sized = sizing.wires[wire]
    family = vehicle.wire_families[sized.family]
    return next(c.outside_mm for c in family.conductors if c.label == sized.label)


def _cover_entries(
    vehicle: Vehicle,
    harness: Harness,
    sizing: Sizing,
    sleeves: tuple[Sleeve, ...],
    clamps: tuple[Clamp, ...],
) -> Iterator[Entry]:
    keys = {"braided sleeve": "sleeve", "heat-shrink": "heat-shrink", "tape": "tape"}
    for run in vehicle.runs:
        bundle = harness.bundles.get(run.id)
        if bundle is None or not bundle.wires:
            continue
        wires = [harness.wires[w] for w in bundle.wires]
        diameter = bundle_mm(wires, vehicle, sizing)
        cover = vehicle.description.rope[run.harness].cover
        if cover in keys:
            fitting = tuple(s for s in sleeves if s.kind == cover)
            size = smallest_around(fitting, diameter)
            diameter = covered_mm(fitting, size, diameter)
            key, what = f"{keys[cover]} {size}", f"{cover.capitalize()}, {size}"
            yield Entry(key, what, run.length_m * COVER_MARGIN, "m", run.harness)
        if run.clamps:
            size = smallest_around(clamps, diameter)
            yield Entry(f"clamp {size}", f"Clamp, {size}", run.clamps, "piece", run.harness)
        ties = int(run.length_m / TIE_SPACING_M)
        if ties:
            yield Entry("tie", "Tie or lacing", ties, "piece", run.harness)


def _label_entries(harness: Harness) -> Iterator[Entry]:
    """A label at both ends of every wire, and one on every connector."""
    for wire in harness.wires.values():
        yield Entry("label wire", "Wire label", 2, "piece", wire.harness)
    for connector in harness.connectors.values():
        by = connector.harness or _harness_at(harness, connector)
        yield Entry("label connector", "Connector label", 1, "piece", by)


def _device_entries(vehicle: Vehicle) -> Iterator[Entry]:
    """Devices with a part, and every relay; other devices without a part are not bought."""
    for device in vehicle.devices.values():
        if device.written.part:
            what = vehicle.description.parts.get(device.written.part)
            title = what.what if what else device.title
            yield Entry(f"part {device.written.part}", title, 1, "piece", device.system)
        elif device.kind == "relay":
            yield Entry("relay", "Relay", 1, "piece", device.system)
