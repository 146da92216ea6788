"""A chapter for each harness: layout, section, and the sheets that it is built from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from math import fsum
from typing import TypeVar

from buildbook.bench.build_sheet import build_sheet
from buildbook.bench.continuity import probings
from buildbook.bench.labels import name_on_label
from buildbook.bench.laying_order import steps_of
from buildbook.bench.model import (
    BuildSheet,
    CutRow,
    LayerWork,
    SpliceStep,
    Termination,
    TerminationSheet,
    WireLabel,
)
from buildbook.bench.terminations import barrel_of
from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.formats import number
from buildbook.book.pin_columns import (
    below_shares,
    beside_shares,
    heads_of,
    reading_mm,
    use_mm,
)
from buildbook.book.pin_rows import TEXT_MM, PinRow, pin_rows
from buildbook.book.shared_rows import note, unique
from buildbook.book.shown_states import shown_states
from buildbook.catalogue.load import colours
from buildbook.drawing.harness.section import layer_title
from buildbook.drawing.shared.model import Drawing
from buildbook.electrical.reading import Reading
from buildbook.figures import Units
from buildbook.harness.connector_home import home_of
from buildbook.harness.model import Wire
from buildbook.parts.keys import colour_of, keys_for, kind_of
from buildbook.parts.model import Need
from buildbook.result import Result
from buildbook.words.say import mark, say

BESIDE_MM = 72.0
"""Faces up to so wide have their table beside them, wider ones below."""
GAP_MM = 4.0
"""Between a face and the table beside it."""
ENDS = ("strip", "crimp", "loop", "spare", "cap")
"""Parts of a cut length that its terminations take."""
FEW_LABELS = 6
"""A list of more labels is worth printing from the export."""
GATHERED = dict.fromkeys(("connectors", "labels"), mark("connectors and labels"))
"""Kinds of part under one head of the list to gather: of labels there are two rows at most."""

Row = TypeVar("Row")
Key = TypeVar("Key", str, float)


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    """Every harness; how the work is done is told with the one that has most splices."""
    rope = list(result.vehicle.description.rope)
    splices = Counter(splice.harness for splice in result.harness.splices.values())
    told = max(rope, key=lambda name: splices[name], default="")
    return tuple(one(result, drawings, name, told) for name in rope)


def one(result: Result, drawings: Drawings, name: str, told: str = "") -> Chapter:
    """The chapter of one harness; how the work is done is told with the harness `told`, or here."""
    written = result.vehicle.description.rope[name]
    units, board = result.vehicle.measures, result.vehicle.description.vehicle.board
    sheet = sheet_of(result, name)
    layout = drawings.first("layouts", name)
    twisted = [step for step in sheet.dressing if step.finished.lay_up]
    section = drawings.first("sections", name) if twisted else None
    lay_ups = drawings.of("lay-ups", name)
    terminations = list(terminated(result, drawings, sheet))
    states = shown_states(result)
    context = {
        "name": name,
        "harness": written,
        "layout": layout,
        "section": section,
        "lay_ups": lay_ups,
        "sheet": sheet,
        "told": told,
        "told_here": told in ("", name),
        "ends_of": lambda wire: " – ".join(unique((wire.points[0], wire.points[-1]))),
        "cuts": cut_lines(sheet),
        "reworked": list(reworked(sheet)),
        "guessed": any(row.guessed for row in sheet.cuts),
        "rework_guessed": any(line.row.guessed for line, _, _ in reworked(sheet)),
        "steps_of": steps_of,
        "layer_title": layer_title,
        "clamps_at": lambda places: ", ".join(map(units.bare, places)),
        "longer": lambda layer: number(100 * layer.extra, 1),
        "handed": handed,
        "covered": cover_words,
        "core": say("core", context="cable"),
        "many_labels": len(sheet.labels) > FEW_LABELS,
        "made_kg": sheet.mass.wires + sheet.mass.cover,
        "tools": own_tools(sheet),
        "materials": material_rows(result, [n for n in sheet.gather if not colour_of(n.key)]),
        "wire": wire_rows(result, sheet.gather),
        "wires": sum(len(row.wires) for row in sheet.cuts),
        "crimped": sum(row.count for row in sheet.crimps),
        "splices": [(step, splice_place(step, units), sides(step)) for step in sheet.splices],
        "barrel_of": barrel_of,
        "colours": colour_names(sheet),
        "twisted": twisted,
        "terminations": terminations,
        "probings": probings(sheet.nets),
        "first_net": next((net for net in sheet.nets if net.first), None),
        "studs": studs(sheet),
        "states": states,
        "estimated": [step.run for step in sheet.dressing if step.run.estimated],
        "later": sorted(
            {d.id for d in result.vehicle.devices.values() if d.written.fitted == "later"}
            & {r.end.node.rsplit(".", 1)[0] for t in sheet.terminations for r in t.rows}
        ),
        "end_name": name_on_label,
        "board": units.sides(1000 * board[0], 1000 * board[1]),
        "described": result.vehicle.description.cables,
        "note": note(result, f"harness {name}"),
    }
    title = written.title or say("Harness {name}", name=name)
    faces = (plug.face for plug in terminations)
    shown = tuple(d for d in (layout, section, *lay_ups, *faces) if d)
    return Chapter(
        f"harness-{name}", say("{title}: build sheets", title=title), "harness.html", context, shown
    )


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
        return (
            *own,
            (mark("ends"), round(fsum(mm for what, mm in self.row.addends if what in ENDS), 1)),
        )


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
    return grouped(rows, lambda row: GATHERED.get(kind := kind_of(row[0].key), kind))


def wire_rows(
    result: Result, gather: Iterable[Need]
) -> list[tuple[str, str, list[tuple[str, float]]]]:
    """Wire by what it is: its part, and how many metres of each colour."""
    found: dict[tuple[str, str], list[tuple[str, float]]] = {}
    coloured = [need for need in gather if colour_of(need.key)]
    for rows in material_rows(result, coloured).values():
        for need, part in rows:
            colour = colour_of(need.key)
            what = need.what.removesuffix(f", {colour}")
            found.setdefault((what, part), []).append((colour, need.quantity))
    return [(*kind, colours) for kind, colours in found.items()]


def grouped(rows: Iterable[Row], key: Callable[[Row], Key]) -> dict[Key, list[Row]]:
    """The rows by what they have in common, least first; in each group as they came."""
    found: dict[Key, list[Row]] = {}
    for row in sorted(rows, key=key):
        found.setdefault(key(row), []).append(row)
    return found


def splice_place(step: SpliceStep, units: Units) -> str:
    """Where a splice is made: '60 mm from C1 towards C2'."""
    off = abs(1000 * step.splice.offset_m)
    if not step.towards:
        return say("at {point}", point=step.splice.point)
    return say(
        "{length} from {point} towards {other}",
        length=units.along(off),
        point=step.splice.point,
        other=step.towards,
    )


def cover_words(cover: str) -> str:
    """What a kind of cover is called."""
    found = {
        "braided sleeve": say("braided sleeve"),
        "heat-shrink": say("heat-shrink"),
        "tape": say("tape"),
        "none": say("none", context="cover"),
    }
    return found[cover]


def handed(layer: LayerWork) -> str:
    """Which way a layer is laid."""
    return say("right hand") if layer.hand == "right" else say("left hand")


def sides(step: SpliceStep) -> list[list[tuple[Wire, str, str]]]:
    """The wires at each end of a splice's barrel."""
    rows = {wire.id: (wire, size, way) for wire, size, way in step.wires}
    return [[rows[w] for w in ids] for ids in (step.joint.near, step.joint.far) if ids]


def colour_names(sheet: BuildSheet) -> list[tuple[str, str]]:
    """Colour codes on the sheets, with their names."""
    used = {code for row in sheet.cuts for w in row.wires for code in w.colour.split("/")}
    return [(code, name) for code, (name, _) in colours().items() if code in used]


StudRow = tuple[str, Termination, bool, bool]
"""The pin of a stud, its end, and whether it is the first and the last of its device."""


def studs(sheet: BuildSheet) -> list[tuple[Termination, list[StudRow]]]:
    """The ends that go into no connector, those of one point and terminal together."""
    groups: dict[tuple[str | float, ...], list[StudRow]] = {}
    for plug in sheet.terminations:
        if plug.connector:
            continue
        for n, row in enumerate(plug.rows, 1):
            alike = row.end.point, row.terminal, row.strip_mm, row.past_mm, row.tool, row.seal
            stud = f"{plug.name}.{row.cavity}", row, n == 1, n == len(plug.rows)
            groups.setdefault(alike, []).append(stud)
    return [(rows[0][1], rows) for rows in groups.values()]


@dataclass(frozen=True)
class Terminated:
    """A connector's ends as they are set: its face, and its table beside or below it."""

    sheet: TerminationSheet
    groups: list[tuple[Termination, list[Termination]]]
    """Those of one terminal together: (the first, all of them)."""
    pins: dict[str, PinRow]
    """What stands and is read at each of its pins, by pin id."""
    off_states: tuple[str, ...]
    """States in which it is told what the pins read with the connector unplugged."""
    own: bool
    """Whether it is told of here: of the harnesses that it has wires of, one is its home."""
    face: Drawing | None
    form: str
    """beside, kept on one page; or below, where the table may go on on the next."""
    table_mm: float
    """Width of a table beside the face."""
    across: int
    """Columns of its table."""
    shares: tuple[float, ...]
    """Widths in percent of those that stand before the readings."""

    @property
    def elsewhere(self) -> dict[tuple[str, ...], list[tuple[str, Reading | None]]]:
        """Other states -> the cavities that read something else there, and what."""
        found: dict[tuple[str, ...], list[tuple[str, Reading | None]]] = {}
        for row in self.pins.values():
            for other in row.elsewhere:
                cavity = row.pin.cavity or row.pin.name
                found.setdefault(other.states, []).append((cavity, other.shown))
        return found

    @property
    def rest(self) -> list[PinRow]:
        """The pins that no wire of this harness goes to, though something is at them."""
        here = {row.end.node for row in self.sheet.rows}
        return [row for pin, row in self.pins.items() if pin not in here and row.used]

    @property
    def unused(self) -> list[str]:
        return [pin for pin, row in self.pins.items() if not row.used]

    @property
    def blanked(self) -> bool:
        """Whether blanks go into what is unused and nowhere else."""
        unused = {self.pins[pin].pin.cavity or self.pins[pin].pin.name for pin in self.unused}
        return bool(unused) and unused == set(self.sheet.blanks)


def terminated(result: Result, drawings: Drawings, sheet: BuildSheet) -> Iterable[Terminated]:
    """Each connector with its face and its ends, those of one terminal together."""
    room = TEXT_MM[result.vehicle.description.vehicle.paper]
    for plug in sheet.terminations:
        if plug.connector is None:
            continue
        groups: dict[tuple[str | float, ...], list[Termination]] = {}
        for end in plug.rows:
            alike = end.terminal, end.strip_mm, end.past_mm, end.tool, end.seal
            groups.setdefault(alike, []).append(end)
        face = drawings.first("faces", plug.name)
        off_states = result.unplugged[plug.name].states
        rows = pin_rows(result, plug.connector)
        form = _form(face)
        beside_mm = room - GAP_MM - (face.width_mm if face else 0)
        heads = heads_of(shown_states(result), off_states)
        yield Terminated(
            plug,
            [(ends[0], ends) for ends in groups.values()],
            rows,
            off_states,
            home_of(result.harness, plug.connector) == sheet.harness,
            face,
            form,
            beside_mm,
            6 + len(heads),
            _shares(form, beside_mm, room, rows.values(), heads, result.vehicle.measures.gauges),
        )


def _shares(
    form: str,
    beside_mm: float,
    room_mm: float,
    rows: Collection[PinRow],
    heads: list[str],
    gauges: bool,
) -> tuple[float, ...]:
    """Widths in percent of the columns before the readings of a table of that form."""
    beside = form == "beside"
    wide = reading_mm(rows, heads, stacked=beside)
    if beside:
        return beside_shares(beside_mm, len(heads), gauges, wide)
    return below_shares(room_mm, len(heads), gauges, wide, use_mm(rows))


def _form(face: Drawing | None) -> str:
    return "beside" if face is not None and face.width_mm <= BESIDE_MM else "below"
