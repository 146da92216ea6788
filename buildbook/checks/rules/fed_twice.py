"""Finds circuits fed by two fuses side by side."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.conducting import conducting_pairs, groups
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import first_up, name_of
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import inside
from buildbook.vehicle.model import Device
from buildbook.words.say import say

RULE = "fed-twice"
SEVERITY = "error"
SOURCE = f"{PRACTICE}: behind two fuses neither protects, and pulling one leaves it live"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look for two fuses whose outputs meet on wires and bus bars alone."""
    fuses = [f for f in assessed.vehicle.all_of("fuse") if len(f.pins) == 2]
    ends = [inside(pin.id) for fuse in fuses for pin in fuse.pins]
    edges = conducting_pairs(assessed.vehicle, assessed.harness, kinds=("bus",))
    group = groups(edges, *ends)
    beside: dict[int, list[Device]] = {}
    for fuse in fuses:
        beside.setdefault(group[inside(fuse.pins[1].id)], []).append(fuse)
    seen: set[str] = set()
    for fuse in fuses:
        fed, out = (group[inside(pin.id)] for pin in fuse.pins)
        for other in beside[out] if out != fed else ():
            if other is fuse or other.id in seen:
                continue
            yield Finding(
                RULE,
                "error",
                fuse.id,
                say(
                    "{fuse} and {other} both feed the same wire: a fault there would draw "
                    "through both.",
                    fuse=first_up(name_of(fuse)),
                    other=name_of(other),
                ),
                say(
                    "Give each fuse a circuit of its own; feed what needs more through one "
                    "larger fuse."
                ),
                SOURCE,
                fuse.where,
            )
        seen.add(fuse.id)
