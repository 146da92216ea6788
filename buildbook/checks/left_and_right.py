"""What stands in a vehicle twice: on the left and on the right, or alike in all but its name."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations

from buildbook.vehicle.model import Device, Vehicle

RIGHT = re.compile(r"(?<![a-z])right(?![a-z])", re.IGNORECASE)


def mirrored(name: str) -> str:
    """A name as it would be on the left: 'right fan feed' is 'left fan feed'."""
    return RIGHT.sub("left", name)


def left_and_right(vehicle: Vehicle) -> Iterator[tuple[Device, Device]]:
    """Left and right devices of one kind and plug whose ids differ in the side alone."""
    for right in vehicle.devices.values():
        name = mirrored(right.id)
        left = vehicle.devices.get(name) if name != right.id else None
        if left is None or left.kind != right.kind or left.written.plug != right.written.plug:
            continue
        if left.kind != "ground":
            yield left, right


TWINS = frozenset({"lamp", "motor", "horn", "injector", "ignition coil", "heater", "solenoid"})
"""Kinds of which two with the same pins do the same: no switch, relay or controller does."""


def alike(vehicle: Vehicle) -> Iterator[tuple[Device, Device]]:
    """Two devices of one kind and plug, whose pins have the same names and different uses."""
    found = [d for d in vehicle.devices.values() if d.kind in TWINS and d.written.plug]
    for one, other in combinations(found, 2):
        uses = [pin.use for pin in one.pins]
        same = (one.kind, one.written.plug) == (other.kind, other.written.plug)
        if same and uses == [pin.use for pin in other.pins] and len(set(uses)) == len(uses) > 1:
            yield one, other
