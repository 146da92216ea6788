"""Face of the fuse and relay panel: bus bars, fuses by slot with their load, relays."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from buildbook.drawing.charts.axis import load_bar
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import BySubject
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted, text_width_mm, wrapped
from buildbook.drawing.shared.model import SHEET_MM, Drawing
from buildbook.drawing.shared.sheet import BLOCK_MM, Title, frame
from buildbook.drawing.shared.zones import BAND_MM
from buildbook.figures import current
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Device
from buildbook.words.joined import and_more
from buildbook.words.say import in_figures, mark, say

TERMINALS: tuple[str, ...] = ("30", "87", "87a", "85", "86")
"""Of a relay, in the order in which they are listed (DIN 72552)."""
BODY_INK = {
    mark("black"): "#333333",
    mark("grey"): "#9a9a9a",
    mark("violet"): "#8e5ba6",
    mark("pink"): "#f2a5bd",
    mark("tan"): "#d2b48c",
    mark("brown"): "#8a5a32",
    mark("red"): "#d23b3b",
    mark("blue"): "#4f86d6",
    mark("yellow"): "#f4d842",
    mark("clear"): "#ffffff",
    mark("green"): "#4aa35a",
    mark("orange"): "#ef8d32",
}
"""Screen values of fuse body colours (our own choice); the rating stands on every body."""
LINE_MM = 3.1
GAP_MM = 1.5
BUS_MM = 7.5
RELAY_MM = 17.9
"""Of a relay's cell that its socket and margins take from its words."""
FUSE_COLUMNS = (5, 6, 7)
"""Fuses side by side."""
BARE = -1
"""Lines of a fuse cell that holds no more than the rating and the name."""
DRAWING_MM = SHEET_MM[1] - 2 * BAND_MM - BLOCK_MM[1] - 3.0
"""Height that a frame leaves."""


def panels(result: Sized) -> BySubject:
    """Panel device -> its face with everything that it carries."""
    found = {device.id: device for device in result.vehicle.all_of("panel")}
    return BySubject(found, lambda id_: (panel(result, found[id_]),))


def name_of(device: Device) -> str:
    """Name of the drawing of a panel's face."""
    return f"panel-{device.id}"


def mounted(result: Sized, device: Device, kind: str) -> tuple[Device, ...]:
    """Fuses or relays of a panel by slot; those without a slot follow in written order."""
    found = [d for d in result.vehicle.all_of(kind) if d.panel == device.id]
    slot = {d.id: d.written.slot if d.written.slot is not None else math.inf for d in found}
    return tuple(sorted(found, key=lambda d: slot[d.id]))


def panel(result: Sized, device: Device) -> Drawing:
    """One panel's face on a framed sheet, as low as what is on it.

    Lines of text shrink until everything goes on it. A crowded panel's fuses leave out what they
    feed, then their loads too; a panel too full even for a rating and a name each gets a taller
    sheet.
    """
    fuses, relays = mounted(result, device, "fuse"), mounted(result, device, "relay")
    buses = _buses(device, fuses)
    counts = (len(fuses), len(relays), len(buses))
    grid = _grid(result, device)
    canvas = Canvas(SHEET_MM[0], SHEET_MM[1] + grid.high(*counts) - DRAWING_MM)
    text = result.vehicle.description
    title = say("{panel}: face", panel=device.title)
    inner = frame(
        canvas,
        Title(
            text.vehicle.name,
            title,
            device.id,
            text.vehicle.revision,
            str(text.vehicle.date),
            name=name_of(device),
        ),
    )
    y = _draw_buses(canvas, inner, buses)
    for n, fuse in enumerate(fuses):
        high, gap = _fuse_height(grid.fuse_lines), _fuse_gap(grid.fuse_lines)
        cell = _cell(inner, y, n, grid.fuse_columns, high, gap)
        draw = _bare_cell if grid.fuse_lines == BARE else _fuse_cell
        draw(canvas, result, cell, fuse, grid.fuse_lines)
    y += grid.fuse_rows_mm(len(fuses)) + 1
    for n, relay in enumerate(relays):
        cell = _cell(inner, y, n, grid.relay_columns, _relay_height(grid.relay_lines))
        _relay_cell(canvas, result, cell, relay, grid.relay_lines)
    for n, line in enumerate(wrapped(_note(grid), SMALL_MM, 73, 3)):
        canvas.text(inner.x, canvas.height - 16.6 + n * 3.4, line, colour=GREY)
    return canvas.drawing(name_of(device), title)


def _note(grid: Grid) -> str:
    """What numbers and bars mean, and where what is left out stands."""
    said = [say("Number: rating in A.")]
    if grid.fuse_lines != BARE:
        said.append(say("Bar: heaviest load, framed by the rating; stroke: 75 %."))
    if grid.fuse_lines == BARE:
        said.append(say("Slots, loads and what each fuse feeds: fuse table."))
    elif not grid.fuse_lines:
        said.append(say("Loads and what each fuse feeds: fuse table."))
    return " ".join(said)


def _grid(result: Sized, device: Device) -> Grid:
    """How a panel's face is divided."""
    fuses, relays = mounted(result, device, "fuse"), mounted(result, device, "relay")
    counts = (len(fuses), len(relays), len(_buses(device, fuses)))
    grid = _arrange(DRAWING_MM, *counts, _most_lines(result, fuses))
    room = _cell_mm(grid.relay_columns) - RELAY_MM
    most = max((len(_relay_title(relay, room, 99)) for relay in relays), default=1)
    taller = [replace(grid, relay_lines=grid.relay_lines + n) for n in range(most - 1, 0, -1)]
    return next((g for g in taller if g.high(*counts) <= DRAWING_MM), grid)


def columns_of(result: Sized, device: Device) -> int:
    """Fuses side by side on a panel's face: every picture of it has as many."""
    return _grid(result, device).fuse_columns


def _fuse_height(lines: int) -> float:
    """A heading, the lines and the bar; a bare cell is one line in all."""
    return 3.1 if lines == BARE else 7.6 if lines == 0 else 8.8 + lines * LINE_MM


def _fuse_gap(lines: int) -> float:
    """Between two rows of fuses."""
    return 0.2 if lines == BARE else GAP_MM


def _relay_height(lines: int) -> float:
    return 4.8 + lines * LINE_MM


@dataclass(frozen=True)
class Grid:
    """Columns and lines of text of the fuse cells and of the relay cells."""

    fuse_columns: int
    fuse_lines: int
    relay_columns: int
    relay_lines: int

    def fuse_rows_mm(self, fuses: int) -> float:
        """Height of the rows of fuses, mm."""
        pitch = _fuse_height(self.fuse_lines) + _fuse_gap(self.fuse_lines)
        return math.ceil(fuses / self.fuse_columns) * pitch

    def high(self, fuses: int, relays: int, buses: int) -> float:
        """Height of everything, mm."""
        fuse = self.fuse_rows_mm(fuses)
        relay = math.ceil(relays / self.relay_columns) * (_relay_height(self.relay_lines) + GAP_MM)
        return buses * BUS_MM + fuse + relay + 1


def _arrange(
    room_mm: float, fuses: int, relays: int, buses: int, most_lines: dict[int, int]
) -> Grid:
    """The roomiest grid that fits the sheet, one row if all fuses go in one; else the tightest.

    `most_lines` are those that the longest list of a fuse takes in so many columns: where they
    fit they are given, else three or fewer.
    """
    whole = [(columns, lines) for columns, lines in most_lines.items() if lines > 3]
    relay_cells = [(columns, lines) for columns in (4, 5, 6, 7) for lines in (6, 5, 4)]
    grids = [Grid(*fuse, *relay) for fuse in whole for relay in relay_cells]
    grids += [
        Grid(columns, lines, *relay)
        for lines in (3, 2, 1)
        for relay in relay_cells
        for columns in FUSE_COLUMNS
    ]
    grids += [Grid(columns, 0, 7, 4) for columns in (7, 8, 9)]
    grids += [Grid(columns, BARE, 7, 4) for columns in (8, 10, 12, 14)]
    grids.sort(key=lambda grid: grid.fuse_lines < 3 or grid.fuse_columns < fuses)
    return next((g for g in grids if g.high(fuses, relays, buses) <= room_mm), grids[-1])


def _most_lines(result: Sized, fuses: tuple[Device, ...]) -> dict[int, int]:
    """Columns of fuses -> lines that the longest list of what one feeds takes."""
    lists = [", ".join(_feeds(result, fuse)) for fuse in fuses]
    return {
        columns: max(
            (len(wrapped(text, SMALL_MM, _fuse_room(_cell_mm(columns)), 99)) for text in lists),
            default=0,
        )
        for columns in FUSE_COLUMNS
    }


def _cell_mm(columns: int) -> float:
    """Width of one of so many cells side by side on the sheet."""
    return (SHEET_MM[0] - 2 * BAND_MM - 3.0 + GAP_MM) / columns - GAP_MM


def _fuse_room(cell_mm: float) -> float:
    """Width of a fuse cell's words."""
    return cell_mm - 12.9


def _buses(device: Device, fuses: tuple[Device, ...]) -> dict[str, list[str]]:
    buses: dict[str, list[str]] = {pin.name: [] for pin in device.pins}
    for fuse in fuses:
        if fuse.written.bus:
            buses.setdefault(fuse.written.bus, []).append(fuse.id)
    return buses


def _draw_buses(canvas: Canvas, inner: Box, buses: dict[str, list[str]]) -> float:
    """A bar with its stud for every bus; returns where the next row begins."""
    y = inner.y
    for stud, fuses in buses.items():
        bar = Box(inner.x, y, inner.w, BUS_MM - GAP_MM)
        if fuses:
            canvas.rect(bar, 0.5, fill="#dddddd", class_="bus")
        middle = y + bar.h / 2
        canvas.circle(bar.x + 5, middle, 2.8, 0.5, fill="#ffffff")
        canvas.circle(bar.x + 5, middle, 1.4, 0.35)
        what = say("stud {stud}", stud=stud)
        if fuses:
            what = say("stud {stud}, bus bar to {fuses}", stud=stud, fuses=", ".join(fuses))
        canvas.text(
            bar.x + 10,
            middle + 1.1,
            fitted(what, NORMAL_MM, bar.w - 12, True),
            NORMAL_MM,
            bold=True,
        )
        y += BUS_MM
    return y


def _cell(
    inner: Box, top: float, place: int, columns: int, height: float, gap: float = GAP_MM
) -> Box:
    """Box of the n-th cell of a grid that is filled row by row."""
    pitch = (inner.w + GAP_MM) / columns
    return Box(
        inner.x + place % columns * pitch,
        top + place // columns * (height + gap),
        pitch - GAP_MM,
        height,
    )


def load_names(result: Sized, loads: tuple[str, ...]) -> str:
    """Titles of the devices that hold the loads, each once; a relay's coil says so."""
    return ", ".join(_load_names(result, loads))


def _load_names(result: Sized, loads: tuple[str, ...]) -> list[str]:
    names: list[str] = []
    for device in result.vehicle.devices.values():
        held = [load for load in device.loads if load.id in loads]
        if held:
            coil = all(load.id.endswith(".coil") for load in held)
            names.append(say("{relay} coil", relay=device.id) if coil else device.title)
    return list(dict.fromkeys(names))


def _feeds(result: Sized, fuse: Device) -> list[str]:
    """Names of what a fuse feeds."""
    sizing = result.sizing.fuses.get(fuse.id)
    return (_load_names(result, sizing.feeds) if sizing else []) or [say("feeds nothing yet")]


def listed(names: list[str], room: float, lines: int, before: str = "") -> list[str]:
    """As many names as go on so many lines, and how many more there are."""
    for shown in range(len(names), 0, -1):
        left = len(names) - shown
        words = before + (and_more(names[:shown], left) if left else ", ".join(names))
        broken = wrapped(words, SMALL_MM, room, 99)
        if len(broken) <= lines:
            return broken
    return wrapped(before + ", ".join(names), SMALL_MM, room, lines)


def _fuse_cell(canvas: Canvas, result: Sized, cell: Box, fuse: Device, lines: int) -> None:
    canvas.rect(cell, 0.35, class_="fuse", data={"data-of": fuse.id})
    sizing = result.sizing.fuses.get(fuse.id)
    rating = sizing.rating_a if sizing else 0.0
    body = Box(cell.x + 1.2, cell.y + 1.2, 9.0, cell.h - 2.4)
    ink = BODY_INK.get(sizing.colour, "#ffffff") if sizing else "#ffffff"
    canvas.rect(body, 0.35, fill=ink, radius=1.0, class_="body")
    number = in_figures(f"{rating:g}")
    size = NORMAL_MM if text_width_mm(number, NORMAL_MM, True) <= 8 else SMALL_MM
    canvas.text(
        body.x + body.w / 2, body.y + body.h / 2 + 1.1, number, size, "middle", True, halo=True
    )
    x, room = body.right + 1.5, _fuse_room(cell.w)
    title = fitted(_place_of(fuse), SMALL_MM, room, True)
    canvas.text(x, cell.y + 3.6, title, bold=True)
    load_a = sizing.load_a if sizing else 0.0
    figures = current(load_a)
    wide = text_width_mm(figures, SMALL_MM) + 1.2
    load_bar(canvas, Box(x, cell.bottom - 3.4, room - wide, 2.2), load_a, rating)
    canvas.text(cell.right - 1.2, cell.bottom - 1.4, figures, anchor="end")
    if not lines:
        return
    for n, line in enumerate(listed(_feeds(result, fuse), room, lines)):
        canvas.text(x, cell.y + 3.6 + (n + 1) * LINE_MM - 0.1, line)


def _place_of(fuse: Device) -> str:
    """'F1, slot 2, bus main'."""
    said = [fuse.id]
    if fuse.written.slot is not None:
        said.append(say("slot {slot}", context="fuse cell", slot=fuse.written.slot))
    if fuse.written.bus:
        said.append(say("bus {bus}", context="fuse cell", bus=fuse.written.bus))
    return ", ".join(said)


def _bare_cell(canvas: Canvas, result: Sized, cell: Box, fuse: Device, _lines: int) -> None:
    """Rating on the body colour and the name, on one line."""
    canvas.rect(cell, 0.25, class_="fuse", data={"data-of": fuse.id})
    sizing = result.sizing.fuses.get(fuse.id)
    body = Box(cell.x, cell.y, 6.4, cell.h)
    ink = BODY_INK.get(sizing.colour, "#ffffff") if sizing else "#ffffff"
    canvas.rect(body, 0.25, fill=ink, class_="body")
    rating = fitted(in_figures(f"{sizing.rating_a:g}") if sizing else "–", SMALL_MM, 6.0)
    base = cell.y + cell.h / 2 + 0.92
    canvas.text(body.x + body.w / 2, base, rating, anchor="middle", halo=True)
    name = fitted(fuse.id, SMALL_MM, cell.w - body.w - 1.4, True)
    canvas.text(body.right + 0.8, base, name, bold=True)


def _others(result: Sized, pin: str) -> list[str]:
    """What a pin is joined to: the other pins of its circuits."""
    circuits = result.vehicle.circuits
    joined: list[str] = []
    for circuit in result.vehicle.circuit_of_pin.get(pin, ()):
        joined += [p.id for p in circuits[circuit].pins if p.id != pin]
    return list(dict.fromkeys(joined)) or ["–"]


def _relay_cell(canvas: Canvas, result: Sized, cell: Box, relay: Device, lines: int) -> None:
    """DIN 72552 terminals as they sit in the socket, and what each is joined to."""
    canvas.rect(cell, 0.35, class_="relay", data={"data-of": relay.id})
    names: list[str] = [p.name for p in relay.pins]
    socket = Box(cell.x + 1.2, cell.y + 1.2, 14.0, min(cell.h - 2.4, 15.0))
    canvas.rect(socket, 0.35, radius=0.8, class_="socket")
    mid = socket.x + socket.w / 2
    spots = {
        "87": (mid, socket.y + 3.4),
        "86": (socket.x + 3, socket.y + socket.h / 2 + 1),
        "85": (socket.right - 3, socket.y + socket.h / 2 + 1),
        "30": (mid, socket.bottom - 1.4),
        "87a": (mid, socket.y + socket.h / 2 + 1),
    }
    for name in (n for n in names if n in spots):
        canvas.text(*spots[name], name, anchor="middle", bold=True)
    x, room = socket.right + 1.5, cell.w - RELAY_MM
    order = [n for n in TERMINALS if n in names]
    order += [n for n in names if n not in order]
    spare = max(0, lines - len(order))
    title = _relay_title(relay, room, 1 + spare)
    spare -= len(title) - 1
    said = [*title]
    for name in order:
        others = _others(result, f"{relay.id}.{name}")
        broken = listed(others, room, 1 + spare, f"{name}: ")
        spare -= len(broken) - 1
        said += broken
    for n, line in enumerate(said[: 1 + lines]):
        canvas.text(x, cell.y + 3.6 + n * LINE_MM, line, bold=n < len(title))
    canvas.left_out += [f"{relay.id} {line}" for line in said[1 + lines :]]


def _relay_title(relay: Device, room: float, lines: int) -> list[str]:
    """A relay's id and name, broken over the lines that its terminals leave before it is cut."""
    title = relay.id if relay.title == relay.id else f"{relay.id} {relay.title}"
    return wrapped(title, SMALL_MM, room, lines, bold=True)
