"""How each size was chosen: every wire and fuse, the limits and what governed."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import unique
from buildbook.result import Result

SAME_A = 0.001
"""Currents nearer than this are one current: the wire's largest is its continuous one."""


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
        "worked": worked(result),
        "families": {
            w.family: result.vehicle.wire_families[w.family]
            for w in wires
            if w.family in result.vehicle.wire_families
        },
    }
    return (Chapter("sizes", "How each size was chosen", "sizes.html", context),)


def worked(result: Result) -> dict | None:
    """Numbers of one wire to do the sums with: of those ruled by drop, the one that loses most.

    None where no wire has both a drop and a continuous current to reckon with.
    """
    able = []
    for sized in result.sizing.wires.values():
        limits = {limit.name: limit for limit in sized.limits if limit.unit in ("A", "V")}
        heat, drop = limits.get("heat"), limits.get("drop")
        if heat and drop and abs(heat.value - sized.current_a) < SAME_A:
            able.append((sized.governing == "drop", sized.drop_v, sized, heat, drop))
    if not able:
        return None
    _ruled, _volts, sized, heat, drop = max(able, key=lambda found: found[:2])
    family = result.vehicle.wire_families[sized.family]
    conductor = next(c for c in family.conductors if c.label == sized.label)
    return {
        "wire": sized.wire,
        "label": sized.label,
        "state": sized.state,
        "bundle": sized.bundle_count,
        "current_a": sized.current_a,
        "steady_a": heat.value,
        "most_a": heat.allowed,
        "air_c": sized.ambient_c,
        "rated_c": family.rated_c,
        "hot_c": sized.conductor_c,
        "ohm_per_m": conductor.ohm_per_m_20c,
        "length_m": result.harness.wires[sized.wire].cut_m,
        "drop_v": sized.drop_v,
        "path_v": drop.value,
        "allowed_v": drop.allowed,
    }
