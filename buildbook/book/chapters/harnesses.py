"""A chapter for each harness: layout, section, and the sheets that it is built from."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import note, wire_row
from buildbook.catalogue.load import sleeves
from buildbook.harness.model import End
from buildbook.parts.cover import smallest_around
from buildbook.parts.needs import bundle_mm
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
        "heat_shrink": heat_shrink_rows(result, name),
        "cables": sorted({wire.cable for wire in wires if wire.cable}),
        "described": result.vehicle.description.cables,
        "note": note(result, f"harness {name}"),
    }
    title = written.title or f"Harness {name}"
    shown = tuple(d for d in (layout, section) if d)
    return Chapter(f"harness-{name}", f"{title}: build sheets", "harness.html", context, shown)


def heat_shrink_rows(result: Result, name: str) -> list[tuple[str, str, str, str]]:
    """Heat-shrink of one harness: over what, where, its wires, the sleeve that goes over them."""
    built = result.harness
    shrink = tuple(s for s in sleeves().values() if s.kind == "heat-shrink")
    rows = []
    for node in built.heat_shrink:
        if splice := built.splices.get(node):
            over, at, ids = f"splice {node}", splice.point, splice.wires
        else:
            wire = built.wires[node.removesuffix(".cap")]
            end = wire.a if wire.a.node == node else wire.b
            over, at, ids = f"capped end of {wire.id}", end.point, (wire.id,)
        wires = [built.wires[i] for i in ids]
        if wires[0].harness == name:
            around_mm = bundle_mm(wires, result.vehicle, result.sizing)
            chosen = smallest_around(shrink, around_mm)
            title = next((s.title for s in shrink if s.id == chosen), chosen)
            rows.append((over, at, f"{around_mm:.1f}", title))
    return rows


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
