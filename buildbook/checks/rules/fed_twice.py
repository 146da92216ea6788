"""Finds circuits fed by two fuses side by side."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import PRACTICE, Context, first_up, joined, name_of, reach
from buildbook.checks.model import Finding
from buildbook.electrical.network import inside

RULE = "fed-twice"
SEVERITY = "error"
SOURCE = f"{PRACTICE}: behind two fuses neither protects, and pulling one leaves it live"


def check(context: Context) -> Iterator[Finding]:
    """Look for two fuses whose outputs meet on wires and bus bars alone."""
    edges = list(joined(context, kinds=("bus",)))
    fuses = [f for f in context.vehicle.all_of("fuse") if len(f.pins) == 2]
    seen: set[str] = set()
    for fuse in fuses:
        near = reach(edges, inside(fuse.pins[1].id))
        fed = reach(edges, inside(fuse.pins[0].id))
        for other in fuses:
            out = inside(other.pins[1].id)
            if other is fuse or other.id in seen or out not in near or out in fed:
                continue
            yield Finding(
                RULE,
                "error",
                fuse.id,
                f"{first_up(name_of(fuse))} and {name_of(other)} both feed the same wire: a fault "
                "there would "
                "draw through both.",
                "Give each fuse a circuit of its own; feed what needs more through one larger "
                "fuse.",
                SOURCE,
                fuse.where,
            )
        seen.add(fuse.id)
