"""Ground map: what returns to each ground point, by which wire, with amps and millivolts."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import SMALL_MM, fitted, text_width_mm, wrapped
from buildbook.drawing.shared.model import SHEET_MM, Drawing
from buildbook.drawing.shared.sheet import Title, frame, inside
from buildbook.drawing.symbols.joints import ground
from buildbook.electrical.grounds import GroundPoint, Returned, ground_points
from buildbook.figures import current
from buildbook.sizing.stage import Sized
from buildbook.words.say import in_figures, say

LINE_MM, GAP_MM, BETWEEN_MM = 3.3, 1.3, 3.5
"""A line of words; what a wire's row takes beside its words; between two ground points."""
COLUMNS, APART_MM = 2, 6.0
SLACK_MM = 0.01
"""Against sums that round."""
NAMES_MM, LABEL_MM, AMPS_MM, LEAD_MM = 43.0, 29.0, 15.0, 4.0
"""Across a column: what the wire joins, the wire, its amps, its line to the stud."""
LEAST_MM = 21.5
"""Height of a ground point's own words."""
MOST_LINES = 3
NOTE_MM = 55.0
"""Width of the note's lines."""
POST = {"negative": "−", "positive": "+", "none": "−"}

GROUND_MAP = "grounds"
"""Name of the first sheet."""


@dataclass(frozen=True)
class Row:
    """A wire on the stud and the lines of what it joins."""

    wire: Returned
    lines: tuple[str, ...]

    @property
    def high(self) -> float:
        return LINE_MM * len(self.lines) + GAP_MM


@dataclass(frozen=True)
class Block:
    """A ground point, or as many of its wires as a column takes."""

    point: GroundPoint
    rows: tuple[Row, ...]
    goes_on: bool = False

    @property
    def high(self) -> float:
        return max(LEAST_MM, fsum(row.high for row in self.rows))


def ground_maps(result: Sized) -> tuple[Drawing, ...]:
    """Sheets of every ground point, a single one as low as it can be; none without grounds."""
    points = ground_points(result.vehicle, result.harness, result.solved)
    most = inside(Canvas(*SHEET_MM)).h
    blocks = [b for point in points for b in _blocks(point, most)]
    columns = _columns(blocks, most)
    high = most
    if 0 < len(columns) <= COLUMNS:
        high = next(h for h in _heights(blocks) if len(_columns(blocks, h)) <= COLUMNS)
        columns = _columns(blocks, high)
    sheets = [columns[n : n + COLUMNS] for n in range(0, len(columns), COLUMNS)]
    paper = SHEET_MM[1] + high - most
    return tuple(_sheet(result, sheet, n, len(sheets), paper) for n, sheet in enumerate(sheets, 1))


def _heights(blocks: list[Block]) -> list[float]:
    """What some of the blocks, one below the other, take: from the highest block's own up."""
    highest = max(block.high for block in blocks)
    sums = (
        fsum(block.high for block in blocks[a:b]) + BETWEEN_MM * (b - a - 1)
        for a in range(len(blocks))
        for b in range(a + 1, len(blocks) + 1)
    )
    return sorted(high + SLACK_MM for high in sums if high >= highest)


def _title(result: Sized, number: int, count: int) -> Title:
    vehicle = result.vehicle.description.vehicle
    return Title(
        vehicle.name,
        say("Ground map"),
        say("grounds"),
        vehicle.revision,
        str(vehicle.date),
        number,
        count,
        say("most amps at each ground"),
        _name(number),
    )


def _name(number: int) -> str:
    return GROUND_MAP if number == 1 else f"{GROUND_MAP}-{number}"


def _note(result: Sized) -> tuple[str, ...]:
    earth = result.vehicle.supply.earth
    below = (
        say("Under 0: current into the body.")
        if earth == "positive"
        else say("Under 0: current out of the body.")
    )
    amps = say(
        "Amps in the state in which the stud's wires carry most, and mV then: stud to battery "
        "{post}.",
        post=POST[earth],
    )
    size = say("Size: {size}. Most: of all states.", size=result.vehicle.measures.size)
    return (*wrapped(amps, SMALL_MM, NOTE_MM, 2), below, size)


def words_of(wire: Returned) -> str:
    """'S722a: rain-lamp, tail-left': the splice nearest to the stud, then the devices."""
    devices = ", ".join(dict.fromkeys(pin.rsplit(".", 1)[0] for pin in wire.pins))
    if wire.splices:
        return f"{wire.splices[0]}: {devices or say('capped')}"
    return ", ".join(wire.pins) or say("capped")


def lines_of(words: str) -> tuple[str, ...]:
    """The words broken after commas, so that names stay whole; the last line is cut to fit."""
    lines = [""]
    parts = words.split(", ")
    for n, part in enumerate(parts):
        piece = part + ("," if n < len(parts) - 1 else "")
        joined = f"{lines[-1]} {piece}".strip()
        if text_width_mm(joined, SMALL_MM) > NAMES_MM - 1 and lines[-1]:
            if len(lines) == MOST_LINES:
                rest = f"{lines[-1]} {', '.join(parts[n:])}"
                return (*lines[:-1], fitted(rest, SMALL_MM, NAMES_MM - 1))
            lines.append(piece)
        else:
            lines[-1] = joined
    return tuple(fitted(line, SMALL_MM, NAMES_MM - 1) for line in lines)


def _blocks(point: GroundPoint, room: float) -> list[Block]:
    """The point's rows, cut where a column is full."""
    blocks: list[Block] = []
    rows: list[Row] = []
    for wire in point.wires:
        row = Row(wire, lines_of(words_of(wire)))
        if rows and fsum(r.high for r in rows) + row.high > room:
            blocks.append(Block(point, tuple(rows), bool(blocks)))
            rows = []
        rows.append(row)
    return [*blocks, Block(point, tuple(rows), bool(blocks))]


def _columns(blocks: list[Block], room: float) -> list[list[Block]]:
    """The blocks one below the other, in order."""
    columns: list[list[Block]] = []
    used = room
    for block in blocks:
        if used + BETWEEN_MM + block.high > room:
            columns.append([])
            used = -BETWEEN_MM
        columns[-1].append(block)
        used += BETWEEN_MM + block.high
    return columns


def _sheet(
    result: Sized, columns: list[list[Block]], number: int, count: int, high_mm: float
) -> Drawing:
    canvas = Canvas(SHEET_MM[0], high_mm)
    room = frame(canvas, _title(result, number, count))
    for n, line in enumerate(_note(result)):
        canvas.text(room.x, room.bottom + 4.5 + n * LINE_MM, line, colour=GREY, class_="note")
    wide = (room.w - APART_MM * (COLUMNS - 1)) / COLUMNS
    for n, column in enumerate(columns):
        x, y = room.x + n * (wide + APART_MM), room.y
        for block in column:
            _draw(canvas, result, block, Box(x, y, wide, block.high))
            y += block.high + BETWEEN_MM
    return canvas.drawing(_name(number), say("Ground map"))


def _draw(canvas: Canvas, result: Sized, block: Block, box: Box) -> None:
    """Wires on the left, the stud's bar, and what the stud says of itself on the right."""
    bar = box.x + NAMES_MM + LABEL_MM + AMPS_MM + LEAD_MM
    y = box.y
    ends = []
    for row in block.rows:
        middle = y + row.high / 2
        ends.append(middle)
        _draw_row(canvas, result, row, box.x, y, bar)
        y += row.high
    words = Box(bar + 1.6, box.y, box.right - bar - 1.6, LEAST_MM)
    _draw_point(canvas, block, words)
    low, high = min([*ends, box.y + 2.5]), max([*ends, box.y + 2.5])
    canvas.line([(bar, low), (bar, high)], 0.9, class_="stud")
    canvas.line([(bar, box.y + 2.5), (words.x, box.y + 2.5)], 0.35)


def _draw_row(canvas: Canvas, result: Sized, row: Row, x: float, y: float, bar: float) -> None:
    wire, sizing = result.harness.wires[row.wire.wire], result.sizing.wires.get(row.wire.wire)
    middle = y + row.high / 2
    for n, line in enumerate(row.lines):
        canvas.text(x, y + GAP_MM / 2 + 2.5 + n * LINE_MM, line, class_="joined")
    size = result.vehicle.measures.bare_size(sizing.label) if sizing else ""
    label = fitted(f"{wire.id} {wire.colour} {size}", SMALL_MM, LABEL_MM - 1)
    canvas.text(x + NAMES_MM, middle + 0.93, label, class_="wire-label")
    amps = current(row.wire.current_a, 2)
    end = x + NAMES_MM + LABEL_MM + AMPS_MM
    canvas.text(end - 1.5, middle + 0.93, amps, anchor="end", class_="amps")
    canvas.line([(end - 0.6, middle), (bar, middle)], 0.35, class_="lead")


def signed(value: float, digits: int) -> str:
    """A number with a true minus, and none before a zero."""
    text = f"{value:.{digits}f}"
    return in_figures(text.lstrip("-") if float(text) == 0 else text.replace("-", "−"))


def _draw_point(canvas: Canvas, block: Block, box: Box) -> None:
    """Name, what it is, place, state, amps into the body, and millivolts."""
    point = block.point
    canvas.rect(box, 0.5, fill="#ffffff", class_="ground")
    wide = box.w - 2
    name = point.device.id
    if block.goes_on:
        name = say("{ground} goes on", ground=name)
    name = fitted(name, SMALL_MM, wide - 5, True)
    canvas.text(box.x + 1, box.y + 3.3, name, bold=True)
    ground(canvas, canvas.group(class_="symbol"), box.right - 3.2, box.y + 0.6)
    figures = f"{current(point.current_a)}, {signed(point.volts * 1000, 0)} mV"
    furthest = signed(point.furthest_v * 1000, 0)
    most = say("most {mv} mV: {state}", mv=furthest, state=point.furthest_state)
    lines = [*wrapped(point.device.title, SMALL_MM, wide, 2), point.state, figures, most]
    for n, line in enumerate(lines):
        bold = line is figures
        canvas.text(
            box.x + 1,
            box.y + 3.3 + (n + 1) * LINE_MM,
            fitted(line, SMALL_MM, wide, bold),
            bold=bold,
        )
