"""A chapter for each harness: layout, section, and the sheets that it is built from."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import groupby
from typing import TypeVar

from buildbook.bench.build_sheet import build_sheet
from buildbook.bench.labels import name_on_label
from buildbook.bench.model import (
    BuildSheet,
    IsolationTest,
    SpliceStep,
    Termination,
    TerminationSheet,
)
from buildbook.bench.terminations import barrel_of
from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.shared_rows import note
from buildbook.catalogue.load import colours
from buildbook.harness.model import Wire
from buildbook.parts.keys import keys_for, kind_of
from buildbook.parts.model import Need
from buildbook.result import Result

UPRIGHT_CUTS = 24
"""Cut lists of so many pieces go on upright pages with what follows, longer ones on turned."""


FEW_LABELS = 6
"""A list of more labels is worth printing from the export."""

Row = TypeVar("Row")
Key = TypeVar("Key", str, float)


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    return tuple(one(result, drawings, name) for name in result.vehicle.description.rope)


def one(result: Result, drawings: Drawings, name: str) -> Chapter:
    """The chapter of one harness."""
    written = result.vehicle.description.rope[name]
    sheet = sheet_of(result, name)
    layout, section = drawings.first("layouts", name), drawings.first("sections", name)
    tools = tool_letters(sheet)
    lay_ups = drawings.of("lay-ups", name)
    context = {
        "name": name,
        "harness": written,
        "layout": layout,
        "section": section,
        "lay_ups": lay_ups,
        "sheet": sheet,
        "turned_cuts": len(sheet.cuts) > UPRIGHT_CUTS,
        "cuts": grouped(sheet.cuts, lambda row: row.family),
        "ropes": grouped(sheet.dressing, lambda step: step.finished.rope_mm),
        "many_labels": len(sheet.labels) > FEW_LABELS,
        "made_kg": sheet.mass.wires + sheet.mass.cover,
        "tools": tools,
        "materials": material_rows(result, sheet.gather),
        "wires": sum(len(row.wires) for row in sheet.cuts),
        "crimped": sum(row.count for row in sheet.crimps),
        "splices": [(step, splice_place(step), sides(step)) for step in sheet.splices],
        "thin_sides": any(step.joint.under for step in sheet.splices),
        "barrel_of": barrel_of,
        "colours": colour_names(sheet),
        "twisted": [step for step in sheet.dressing if step.finished.lay_up],
        "terminations": list(termination_groups(sheet)),
        "isolation": list(isolation_rows(sheet.neighbours)),
        "pass_pins": [p for p in result.harness.pass_pins if name in p.wires],
        "estimated": [step.run for step in sheet.dressing if step.run.estimated],
        "later": sorted(
            {d.id for d in result.vehicle.devices.values() if d.written.fitted == "later"}
            & {r.end.node.rsplit(".", 1)[0] for t in sheet.terminations for r in t.rows}
        ),
        "label_pairs": [(a, b) for a, b in zip(sheet.labels[::2], sheet.labels[1::2], strict=True)],
        "end_name": name_on_label,
        "board": " × ".join(
            f"{1000 * side:.0f}" for side in result.vehicle.description.vehicle.board
        ),
        "described": result.vehicle.description.cables,
        "note": note(result, f"harness {name}"),
    }
    title = written.title or f"Harness {name}"
    shown = (*(d for d in (layout, section) if d), *lay_ups)
    return Chapter(f"harness-{name}", f"{title}: build sheets", "harness.html", context, shown)


def sheet_of(result: Result, name: str) -> BuildSheet:
    """The build sheets of one harness of a Result."""
    return build_sheet(result.vehicle, result.harness, result.sizing, result.finished_runs, name)


def tool_letters(sheet: BuildSheet) -> dict[str, str]:
    """What a tool is -> the letter that the tables call it by: T1, T2, …"""
    tools = [need for need in sheet.gather if need.key.startswith("tool ")]
    return {need.what: f"T{n}" for n, need in enumerate(tools, start=1)}


def material_rows(result: Result, gather: Iterable[Need]) -> dict[str, list[tuple[Need, str]]]:
    """Needs by kind, each with its part, '' where nothing is bought for it; tools apart."""
    served: dict[str, str] = {}
    for line in result.bill.lines:
        part = result.vehicle.description.parts.get(line.part)
        for key in (line.need.key, *(part.serves if part else ())):
            served.setdefault(key, line.part)
    rows = [
        (n, next((served[k] for k in keys_for(n.key) if k in served), ""))
        for n in gather
        if not n.key.startswith("tool ")
    ]
    return grouped(rows, lambda row: kind_of(row[0].key))


def grouped(rows: Iterable[Row], key: Callable[[Row], Key]) -> dict[Key, list[Row]]:
    """The rows by what they have in common, least first; in each group as they came."""
    found: dict[Key, list[Row]] = {}
    for row in sorted(rows, key=key):
        found.setdefault(key(row), []).append(row)
    return found


def splice_place(step: SpliceStep) -> str:
    """Where a splice is made: '60 mm from C1 towards C2'."""
    off = abs(1000 * step.splice.offset_m)
    if not step.towards:
        return f"at {step.splice.point}"
    return f"{off:.0f} mm from {step.splice.point} towards {step.towards}"


def sides(step: SpliceStep) -> list[list[tuple[Wire, str, str]]]:
    """The wires at each end of a splice's barrel."""
    rows = {wire.id: (wire, size, way) for wire, size, way in step.wires}
    return [[rows[w] for w in ids] for ids in (step.joint.near, step.joint.far) if ids]


def colour_names(sheet: BuildSheet) -> list[tuple[str, str]]:
    """Colour codes on the sheets, with their names."""
    used = {code for row in sheet.cuts for w in row.wires for code in w.colour.split("/")}
    return [(code, name) for code, (name, _) in colours().items() if code in used]


def termination_groups(
    sheet: BuildSheet,
) -> Iterable[tuple[TerminationSheet, list[tuple[Termination, list[Termination]]]]]:
    """Each connector with its ends, those of one terminal together: (the first, all of them)."""
    for plug in sheet.terminations:
        groups: dict[tuple[str | float, ...], list[Termination]] = {}
        for row in plug.rows:
            alike = row.terminal, row.strip_mm, row.past_mm, row.tool, row.seal
            groups.setdefault(alike, []).append(row)
        yield plug, [(rows[0], rows) for rows in groups.values()]


def isolation_rows(found: Iterable[IsolationTest]) -> Iterable[tuple[str, list[IsolationTest]]]:
    """Connector with its cavities and those that each must be open to."""
    for connector, rows in groupby(found, key=lambda row: row.connector):
        yield connector, list(rows)
