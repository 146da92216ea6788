"""Where a meter's probe reaches, and how much trouble each place is."""

from __future__ import annotations

from buildbook.electrical.network import inside
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle

FUSE_TOP, STUD, PLUG, HALF, SPLICE = 0.0, 1.0, 2.0, 3.0, 8.0
"""Trouble of reaching a place, our choice: a fuse's test tabs need nothing undone, a splice
needs its cover cut."""

ENGINE_RUNNING = 3.0
"""Added where the engine must run or turn while somebody measures."""


def probe_places(vehicle: Vehicle, harness: Harness) -> dict[str, float]:
    """Return node -> trouble for every node that a probe can be put on."""
    found: dict[str, float] = {}
    for pin in vehicle.pins.values():
        if vehicle.devices[pin.device].kind == "fuse":
            found[inside(pin.id)] = FUSE_TOP
        elif pin.id in harness.wire_at:
            found[pin.id] = STUD if pin.stud else PLUG
    for passing in harness.pass_pins:
        for name in passing.wires:
            found[f"{passing.device}.{passing.cavity}/{name}"] = HALF
    found.update(dict.fromkeys(harness.splices, SPLICE))
    return found
