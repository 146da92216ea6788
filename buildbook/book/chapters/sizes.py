"""How each size was chosen: every wire and fuse, the limits and what governed."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import unique
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    wires = [
        result.sizing.wires[wire] for wire in result.harness.wires if wire in result.sizing.wires
    ]
    fuses = tuple(result.sizing.fuses.values())
    sources = unique(
        limit.source for sized in (*wires, *fuses) for limit in sized.limits if limit.source
    )
    context = {
        "wires": wires,
        "fuses": fuses,
        "sources": sources,
        "mark": {source: n for n, source in enumerate(sources, start=1)},
        "families": {
            w.family: result.vehicle.wire_families[w.family]
            for w in wires
            if w.family in result.vehicle.wire_families
        },
    }
    return (Chapter("sizes", "How each size was chosen", "sizes.html", context),)
