"""What is on the left of a vehicle and again on the right."""

from __future__ import annotations

import re
from collections.abc import Iterator

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
