"""A chapter for each harness: layout, section, and the sheets that it is built from."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

from buildbook.bench.build_sheet import build_sheet
from buildbook.bench.continuity import probings
from buildbook.bench.labels import name_on_label
from buildbook.bench.laying_order import steps_of
from buildbook.bench.model import (
    BuildSheet,
    CutRow,
    SpliceStep,
    Termination,
    TerminationSheet,
    WireLabel,
)
from buildbook.bench.terminations import barrel_of
from buildbook.book.chapter import Chapter
from buildbook.book.chapters.faces import GAP_MM, TEXT_MM
from buildbook.book.drawings import Drawings
from buildbook.book.shared_rows import note
from buildbook.catalogue.load import colours
from buildbook.drawing.harness.section import layer_title
from buildbook.drawing.shared.model import Drawing
from buildbook.harness.model import Wire
from buildbook.parts.keys import keys_for, kind_of
from buildbook.parts.model import Need
from buildbook.result import Result

BESIDE_MM = 95.0
"""Faces up to so wide have their table beside them, wider ones below."""
WHOLE_MM = 225.0
"""Height of a face and its table up to which they are kept on one page."""
ENDS = ("strip", "crimp", "loop", "spare", "cap")
"""Parts of a cut length that its terminations take."""
ROW_MM, HEADS_MM = 4.0, 24.0
"""Height of a row of terminations, and of what stands over them."""
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
    lay_ups = drawings.of("lay-ups", name)
    terminations = list(terminated(result, drawings, sheet))
    context = {
        "name": name,
        "harness": written,
        "layout": layout,
        "section": section,
        "lay_ups": lay_ups,
        "sheet": sheet,
        "cuts": cut_lines(sheet),
        "reworked": list(reworked(sheet)),
        "guessed": any(row.guessed for row in sheet.cuts),
        "steps_of": steps_of,
        "layer_title": layer_title,
        "longer": lambda layer: f"{100 * layer.extra:.1f}",
        "ropes": grouped(sheet.dressing, lambda step: step.finished.rope_mm),
        "many_labels": len(sheet.labels) > FEW_LABELS,
        "made_kg": sheet.mass.wires + sheet.mass.cover,
        "tools": own_tools(sheet),
        "materials": material_rows(result, sheet.gather),
        "wires": sum(len(row.wires) for row in sheet.cuts),
        "crimped": sum(row.count for row in sheet.crimps),
        "splices": [(step, splice_place(step), sides(step)) for step in sheet.splices],
        "thin_sides": any(step.joint.under for step in sheet.splices),
        "barrel_of": barrel_of,
        "colours": colour_names(sheet),
        "twisted": [step for step in sheet.dressing if step.finished.lay_up],
        "terminations": terminations,
        "probings": probings(sheet.nets),
        "first_net": next((net for net in sheet.nets if net.first), None),
        "pass_pins": [p for p in result.harness.pass_pins if name in p.wires],
        "estimated": [step.run for step in sheet.dressing if step.run.estimated],
        "later": sorted(
            {d.id for d in result.vehicle.devices.values() if d.written.fitted == "later"}
            & {r.end.node.rsplit(".", 1)[0] for t in sheet.terminations for r in t.rows}
        ),
        "end_name": name_on_label,
        "board": " × ".join(
            f"{1000 * side:.0f}" for side in result.vehicle.description.vehicle.board
        ),
        "described": result.vehicle.description.cables,
        "note": note(result, f"harness {name}"),
    }
    title = written.title or f"Harness {name}"
    faces = (plug.face for plug in terminations)
    shown = tuple(d for d in (layout, section, *lay_ups, *faces) if d)
    return Chapter(f"harness-{name}", f"{title}: build sheets", "harness.html", context, shown)


def sheet_of(result: Result, name: str) -> BuildSheet:
    """The build sheets of one harness of a Result."""
    return build_sheet(result.vehicle, result.harness, result.sizing, result.finished_runs, name)


def own_tools(sheet: BuildSheet) -> dict[str, str]:
    """What a tool of this harness is -> its number in the book."""
    tools = [need.what for need in sheet.gather if need.key.startswith("tool ")]
    return {what: sheet.tools[what] for what in tools}


@dataclass(frozen=True)
class CutLine:
    """A piece to cut, with the labels of each of its wires."""

    row: CutRow
    labels: tuple[tuple[WireLabel, WireLabel], ...]
    """(end a, end b) of its wire, or of every core."""
    first_of_reel: bool

    @property
    def made_up(self) -> tuple[tuple[str, float], ...]:
        """The parts of its length in mm; what both ends take is one."""
        own = tuple((what, mm) for what, mm in self.row.addends if what not in ENDS)
        return (*own, ("ends", round(sum(mm for what, mm in self.row.addends if what in ENDS), 1)))


def cut_lines(sheet: BuildSheet) -> dict[str, list[CutLine]]:
    """Type of wire -> its pieces reel by reel, longest first; cables last."""
    pairs = {a.wire.id: (a, b) for a, b in zip(sheet.labels[::2], sheet.labels[1::2], strict=True)}
    found: dict[str, list[CutLine]] = {}
    last: tuple[str, ...] = ()
    for row in sheet.cuts:
        reel = row.family, row.colour, row.size
        labels = tuple(pairs[wire.id] for wire in row.wires)
        found.setdefault(row.family, []).append(CutLine(row, labels, reel != last))
        last = reel
    return found


def reworked(
    sheet: BuildSheet,
) -> Iterable[tuple[CutLine, Wire, tuple[WireLabel, WireLabel]]]:
    """The pieces that a harness which exists has to be given: (its line, the wire, its labels)."""
    new = sheet.rework.new if sheet.rework else ()
    for lines in cut_lines(sheet).values():
        for line in lines:
            for wire, labels in zip(line.row.wires, line.labels, strict=True):
                if wire.id in new:
                    yield line, wire, labels


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


@dataclass(frozen=True)
class Terminated:
    """A connector's ends as they are set: its face, and its table beside or below it."""

    sheet: TerminationSheet
    groups: list[tuple[Termination, list[Termination]]]
    """Those of one terminal together: (the first, all of them)."""
    face: Drawing | None
    form: str
    """beside, whole (the table below the face, on one page) or long."""
    table_mm: float
    """Width of a table beside the face."""


def terminated(result: Result, drawings: Drawings, sheet: BuildSheet) -> Iterable[Terminated]:
    """Each connector with its face and its ends, those of one terminal together."""
    room = TEXT_MM[result.vehicle.description.vehicle.paper]
    for plug in sheet.terminations:
        groups: dict[tuple[str | float, ...], list[Termination]] = {}
        for row in plug.rows:
            alike = row.terminal, row.strip_mm, row.past_mm, row.tool, row.seal
            groups.setdefault(alike, []).append(row)
        face = drawings.first("faces", plug.name) if plug.connector else None
        own = [(rows[0], rows) for rows in groups.values()]
        yield Terminated(
            plug,
            own,
            face,
            _form(plug, len(groups), face),
            room - GAP_MM - (face.width_mm if face else 0),
        )


def _form(plug: TerminationSheet, groups: int, face: Drawing | None) -> str:
    beside = face is not None and face.width_mm <= BESIDE_MM
    rows = groups + len(plug.rows) / (1 if beside else 2)
    high = HEADS_MM + ROW_MM * rows + (face.height_mm if face and not beside else 0.0)
    if high > WHOLE_MM:
        return "long"
    return "beside" if beside else "whole"
