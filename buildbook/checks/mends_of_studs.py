"""Circuits that lead to one stud of a switch, relay or fuse, and belong on the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product

from buildbook.checks.mends_of_entries import Mend
from buildbook.checks.standing import Mended
from buildbook.vehicle.model import Bond, Contact, Vehicle
from buildbook.words.say import say


def other_side(
    vehicle: Vehicle, joins: Mapping[str, tuple[str, ...]], circuits: list[str]
) -> Iterator[Mend]:
    """A circuit that leads to one stud of a switch, relay or fuse, and belongs on the other."""
    beside: dict[str, list[str]] = {}
    for one, other in _sides(vehicle):
        beside.setdefault(one, []).append(other)
        beside.setdefault(other, []).append(one)
    for name in circuits:
        for pin in joins[name]:
            for other in beside.get(pin, ()) if vehicle.pins[pin].stud else ():
                yield Mend(
                    say(
                        "lead '{circuit}' to {other} and not to {pin}",
                        circuit=name,
                        other=other,
                        pin=pin,
                    ),
                    say(
                        "'{circuit}' leads to {pin} and belongs on {other}",
                        circuit=name,
                        pin=pin,
                        other=other,
                    ),
                    (pin, other),
                    Mended(joins={name: with_other(joins[name], pin, other)}),
                    1,
                )


def sides_exchanged(
    vehicle: Vehicle,
    joins: Mapping[str, tuple[str, ...]],
    homes: Mapping[str, list[str]],
    circuits: list[str],
) -> Iterator[Mend]:
    """Circuits on the two studs of a switch, relay or fuse that stand on each other's."""
    for one, other in _sides(vehicle):
        if not (vehicle.pins[one].stud and vehicle.pins[other].stud):
            continue
        for first, second in product(homes.get(one, ()), homes.get(other, ())):
            if first == second or not {first, second} & set(circuits):
                continue
            yield Mend(
                say(
                    "exchange '{first}' and '{second}' at {one} and {other}",
                    first=first,
                    second=second,
                    one=one,
                    other=other,
                ),
                say(
                    "'{first}' at {one} and '{second}' at {other} are exchanged",
                    first=first,
                    one=one,
                    second=second,
                    other=other,
                ),
                (one, other),
                Mended(
                    joins={
                        first: with_other(joins[first], one, other),
                        second: with_other(joins[second], other, one),
                    }
                ),
                1,
            )


def _sides(vehicle: Vehicle) -> Iterator[tuple[str, str]]:
    """The two pins of every contact and fuse."""
    for device in vehicle.devices.values():
        fuses = (bond for bond in device.bonds if bond.kind == "fuse")
        parts: tuple[Contact | Bond, ...] = (*device.contacts, *fuses)
        yield from ((part.from_pin, part.to_pin) for part in parts)


def with_other(pins: tuple[str, ...], old: str, new: str) -> tuple[str, ...]:
    """Pins of a circuit, one in place of another."""
    return tuple(new if pin == old else pin for pin in pins)
