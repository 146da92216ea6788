"""Finds fuses on which two critical systems hang together."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called, first_up, name_of
from buildbook.checks.stages import Assessed

RULE = "fuse-shared"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: one blown fuse should not take two things that the driver needs"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Only fuses with no other fuse below them: a main fuse feeds everything by nature."""
    vehicle = assessed.vehicle
    by_load = {load.id: device for device in vehicle.devices.values() for load in device.loads}
    for fuse_id, sized in assessed.sizing.fuses.items():
        fed = [by_load[name] for name in sized.feeds if name in by_load]
        critical = {d.id: d.system for d in fed if d.written.critical}
        main = vehicle.devices[fuse_id].written.fuse.startswith("bolted")
        if main or sized.selective or len(set(critical.values())) < 2:
            continue
        fed_names = [called(vehicle.devices[d].title, d) for d in critical]
        yield Finding(
            RULE,
            "note",
            fuse_id,
            f"{first_up(name_of(vehicle.devices[fuse_id]))} feeds {' and '.join(fed_names)}, of "
            "different systems and all critical: one fault stops them all.",
            "Give each a fuse of its own.",
            SOURCE,
            vehicle.devices[fuse_id].where,
        )
