"""A chapter for each harness: layout, section, and the sheets that it is built from."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import note, wire_row
from buildbook.harness.model import End
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    return tuple(one(result, drawings, name) for name in result.vehicle.description.rope)


def one(result: Result, drawings: Drawings, name: str) -> Chapter:
    """The chapter of one harness."""
    written = result.vehicle.description.rope[name]
    wires = [wire for wire in result.harness.wires.values() if wire.harness == name]
    runs = [run for run in result.vehicle.runs if run.harness == name]
    bundles = result.harness.bundles
    layout, section = drawings.layouts.get(name), drawings.sections.get(name)
    context = {
        "name": name,
        "harness": written,
        "layout": layout,
        "section": section,
        "rows": [wire_row(result, wire) for wire in wires],
        "ends": {wire.id: (strip(result, wire.a), strip(result, wire.b)) for wire in wires},
        "splices": [s for s in result.harness.splices.values() if s.harness == name],
        "halves": [c for c in result.harness.connectors.values() if c.harness == name],
        "pass_pins": [p for p in result.harness.pass_pins if name in p.wires],
        "runs": [(run, bundles[run.id].wires if run.id in bundles else ()) for run in runs],
        "estimated": [run for run in runs if run.estimated],
        "heat_shrink": result.harness.heat_shrink,
        "cables": sorted({wire.cable for wire in wires if wire.cable}),
        "described": result.vehicle.description.cables,
        "note": note(result, f"harness {name}"),
    }
    title = written.title or f"Harness {name}"
    shown = tuple(d for d in (layout, section) if d)
    return Chapter(f"harness-{name}", f"{title}: build sheets", "harness.html", context, shown)


def strip(result: Result, end: End) -> str:
    """Strip length of an end in mm, from its contact family."""
    for connector in result.harness.connectors.values():
        for pin in connector.pins:
            if pin.contact.id == end.contact:
                return f"{pin.contact.strip_mm:g}"
    for pin in result.vehicle.pins.values():
        if pin.contact.id == end.contact:
            return f"{pin.contact.strip_mm:g}"
    return ""
