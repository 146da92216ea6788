"""A colour for each circuit: by family, and apart from its neighbours in a connector."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from buildbook.as_built.look_up import built_colours
from buildbook.vehicle.model import Circuit, Vehicle

FEEDS, MORE_FEEDS = ("RD",), ("OG",)
GROUNDS = ("BK", "BN")
OTHERS = ("WH", "BU", "GN", "YE", "VT", "GY", "PK")
TRACERS = ("WH", "BK", "YE", "BU", "GN", "RD", "OG", "VT", "BN", "GY", "PK")
ALIKE = {
    frozenset(pair)
    for pair in (
        ("BK", "BN"),
        ("WH", "GY"),
        ("OG", "RD"),
        ("PK", "RD"),
        ("BU", "VT"),
        ("OG", "YE"),
        ("PK", "OG"),
    )
}
"""Body and tracer too alike to be told apart in poor light; judgement, no source."""

SMALL = 6
"""Contacts of a plug up to which no two circuits should have one colour; in larger ones colours
must repeat, and the number on the wire tells. Our choice."""
FEED_KINDS = ("battery", "isolator", "alternator")


def family(vehicle: Vehicle, circuit: Circuit) -> str:
    """What a circuit is: 'ground', 'feed' or 'other' (signals and switched outputs)."""
    if circuit.is_screen:
        return "ground"
    for pin in circuit.pins:
        device = vehicle.devices[pin.device]
        if device.kind == "ground" or pin.id == vehicle.supply.earthed_pin:
            return "ground"
        if device.written.power and _named(pin, device.written.power.grounds):
            return "ground"
    if circuit.written.signal:
        return "other"
    if circuit.written.family == "battery":
        return "feed"
    for pin in circuit.pins:
        device = vehicle.devices[pin.device]
        fused = device.kind in ("fuse", "panel") or pin.name == "30"
        large = device.kind in FEED_KINDS and pin.stud
        if fused or large or (device.written.power and _named(pin, device.written.power.feeds)):
            return "feed"
    return "other"


def _named(pin: object, names: Iterable[str]) -> bool:
    return getattr(pin, "name", "") in names


def palette(kind: str) -> tuple[str, ...]:
    """Colours of a family: plain bodies first, then bodies with tracers; orange after red."""
    bodies = {"feed": FEEDS, "ground": GROUNDS}.get(kind, OTHERS)
    spare = _striped(MORE_FEEDS) if kind == "feed" else ()
    return _striped(bodies) + spare


def _striped(bodies: tuple[str, ...]) -> tuple[str, ...]:
    return bodies + tuple(
        f"{body}/{tracer}"
        for tracer in TRACERS
        for body in bodies
        if body != tracer and frozenset((body, tracer)) not in ALIKE
    )


def choose_colours(
    vehicle: Vehicle,
    connectors: Mapping[str, Iterable[str]],
    panels: Mapping[str, Iterable[str]],
) -> dict[str, str]:
    """Circuit id -> colour; the arguments give the circuits in each connector and on each panel.

    The author's colours stand, then those that were built. Others take the first colour of their
    family that no circuit beside them in a connector has, nor, if it can be, on a panel; when all
    are taken, the one least used beside them, where two in a small connector, in which nobody looks
    at numbers, are worse than two in a large one. Where the author owns certain colours these are
    all; of those that are as good in every connector one that is on a reel goes first.
    """
    beside, about = _groups_of(connectors), _groups_of(panels)
    chosen: dict[str, str] = {}

    def give(circuit: str, colour: str) -> None:
        chosen[circuit] = colour
        for group in (*beside.get(circuit, ()), *about.get(circuit, ())):
            group.colours[colour] += 1

    built = built_colours(vehicle.as_built)
    for id_, circuit in vehicle.circuits.items():
        if circuit.written.colour or id_ in built:
            give(id_, circuit.written.colour or built[id_])
    for circuit in sorted(vehicle.circuits.values(), key=lambda c: (c.number, c.id)):
        if circuit.id in chosen:
            continue
        near = _used(beside.get(circuit.id, ()))
        far = _used(about.get(circuit.id, ()))
        colours = _owned(vehicle, family(vehicle, circuit), near)
        reels = _on_reels(vehicle, circuit)
        counts = {c: (near.get(c, 0.0), c not in reels, far.get(c, 0.0)) for c in colours}
        give(circuit.id, min(colours, key=counts.__getitem__))
    return chosen


@dataclass
class _Group:
    """Circuits of a connector or a panel: how much two alike weigh there, and colours so far."""

    weight: float
    colours: Counter[str] = field(default_factory=Counter)


def _groups_of(groups: Mapping[str, Iterable[str]]) -> dict[str, list[_Group]]:
    """Circuit -> groups that it is in: the fewer circuits one has, the more it weighs."""
    found: dict[str, list[_Group]] = {}
    for members in groups.values():
        held = sorted(set(members))
        group = _Group(1 / max(len(held), 1) ** 2)
        for circuit in held:
            found.setdefault(circuit, []).append(group)
    return found


def _used(groups: Iterable[_Group]) -> dict[str, float]:
    """Colour -> how much it is used by the circuits beside one."""
    found: dict[str, float] = {}
    for group in groups:
        for colour, count in group.colours.items():
            found[colour] = round(found.get(colour, 0.0) + group.weight * count, 9)
    return found


def _owned(vehicle: Vehicle, kind: str, near: Mapping[str, float]) -> tuple[str, ...]:
    """Colours to choose from: the author's of that family, or of any where it needs more."""
    wire = vehicle.description.vehicle.wire
    if not wire.colours:
        return palette(kind)
    owned = tuple(dict.fromkeys((*wire.colours, *(reel.colour for reel in wire.reels))))
    fits = tuple(colour for colour in palette(kind) if colour in owned)
    left = any(near.get(colour, 0.0) < 1 / SMALL**2 - 1e-9 for colour in fits)
    others = palette("other")
    rest = (colour for colour in owned if colour not in fits)
    return fits if left else (*fits, *sorted(rest, key=lambda colour: colour not in others))


def _on_reels(vehicle: Vehicle, circuit: Circuit) -> set[str]:
    """Colours of the wire that is on the shelf, of the circuit's family."""
    wire = vehicle.description.vehicle.wire
    needed = circuit.written.family or wire.family
    return {reel.colour for reel in wire.reels if wire.family_of(reel) == needed}
