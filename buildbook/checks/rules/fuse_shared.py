"""Finds fuses that feed two critical systems, or a critical thing with one that often shorts."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called, first_up, name_of
from buildbook.checks.stages import Assessed
from buildbook.vehicle.model import Device
from buildbook.words.joined import all_of
from buildbook.words.say import say

RULE = "fuse-shared"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: one blown fuse should not take two things that the driver needs"

OUTSIDE = frozenset({"horn", "heater", "lamp"})
"""Kinds that hang where water, stones and fingers get at their wires."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Only fuses with no other fuse below them: a main fuse feeds everything by nature."""
    vehicle = assessed.vehicle
    by_load = {load.id: device for device in vehicle.devices.values() for load in device.loads}
    for fuse_id, sized in assessed.sizing.fuses.items():
        fed = [by_load[name] for name in sized.feeds if name in by_load]
        critical = {d.id: d.system for d in fed if d.written.critical}
        main = vehicle.devices[fuse_id].written.fuse.startswith("bolted")
        if main or sized.selective:
            continue
        if outside := [d for d in fed if d.kind in OUTSIDE and not d.written.critical]:
            yield from _beside(assessed, fuse_id, critical, outside)
        if len(set(critical.values())) < 2:
            continue
        fed_names = [called(vehicle.devices[d].title, d) for d in critical]
        yield Finding(
            RULE,
            "note",
            fuse_id,
            say(
                "{fuse} feeds {devices}, of different systems and all critical: one fault stops "
                "them all.",
                fuse=first_up(name_of(vehicle.devices[fuse_id])),
                devices=all_of(fed_names),
            ),
            say("Give each a fuse of its own."),
            SOURCE,
            vehicle.devices[fuse_id].where,
        )


def _beside(
    assessed: Assessed, fuse_id: str, critical: dict[str, str], outside: list[Device]
) -> Iterator[Finding]:
    """Of another system: what belongs to a pump or coil shares its fuse with it by nature."""
    vehicle = assessed.vehicle
    strange = [d for d in outside if d.system not in critical.values()]
    if not critical or not strange:
        return
    needed, other = next(iter(critical)), strange[0]
    yield Finding(
        RULE,
        "note",
        f"{fuse_id}.out",
        say(
            "{fuse} feeds {needed}, which is critical, and shares it with "
            "{other}: where that shorts outside, the vehicle stops.",
            fuse=first_up(name_of(vehicle.devices[fuse_id])),
            needed=called(vehicle.devices[needed].title, needed),
            other=called(other.title, other.id),
        ),
        say(
            "Give {other} a fuse of its own, or one that nothing critical hangs on.", other=other.id
        ),
        SOURCE,
        vehicle.devices[fuse_id].where,
    )
