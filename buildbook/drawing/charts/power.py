"""Power at a glance: from the battery through every fuse to its loads, as a figure among text
where they are few, else on one sheet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from buildbook.checks.naming import first_up
from buildbook.checks.stages import Assessed
from buildbook.drawing.charts.power_paths import largest_state, supply_paths
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.drawing.shared.canvas import GREY, INK, Canvas
from buildbook.drawing.shared.lettering import SMALL_MM, fitted, text_width_mm, wrapped
from buildbook.drawing.shared.model import FIGURE_MM, SHEET_MM, Drawing
from buildbook.drawing.shared.sheet import BLOCK_MM, STRIP_MM, Title, figure, frame
from buildbook.drawing.shared.zones import BAND_MM
from buildbook.electrical.model import Solution
from buildbook.electrical.network import in_pulses
from buildbook.electrical.supply import demand_a
from buildbook.figures import current
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Pin, Vehicle
from buildbook.words.say import in_figures, say


@dataclass(frozen=True)
class Stage:
    """A box of the power tree: a device between the battery and a fuse, or the fuse."""

    device: str
    path: tuple[str, ...]
    """Devices from the battery down to this one."""


@dataclass(frozen=True)
class Row:
    """A fuse of the tree and its place on the sheet."""

    fuse: str
    path: tuple[str, ...]
    loads: tuple[str, ...]
    y: float
    h: float


@dataclass(frozen=True)
class Columns:
    """Where things stand from left to right, and where the first row begins, in mm."""

    edge: float
    """Left edge, from which stages go on to the fuses."""
    fuses: float
    fuse_wide: float
    loads: float
    right: float
    across: int
    """Loads beside each other."""
    top: float


ON_SHEET = Columns(6.5, 94.5, 36.0, 134.0, SHEET_MM[0] - BAND_MM - 1.5, 3, 17.5)
AS_FIGURE = Columns(0.8, 88.8, 32.0, 123.8, FIGURE_MM - 0.8, 1, 11.0)
STAGE_GAP = 1.9
FIGURE_PITCH_MM, FIGURE_HIGH_MM = 4.0, 100.0
"""Between lines of loads of a figure, and the highest that is set among text."""
PITCHES_MM = (6.0, 3.0)
"""Between lines of loads, from the widest, where there are few, to the least that can be read."""


def _rows(
    result: Sized, paths: dict[str, tuple[str, ...]], pitch: float, columns: Columns
) -> list[Row]:
    """Fuses in order of their paths; a fuse gets as many lines as its loads need.

    A load fed through several fuses in a row stands at the one that feeds the fewest.
    """
    sizing = result.sizing.fuses
    order = sorted(
        paths,
        key=lambda f: [list(sizing).index(s) if s in sizing else s != f for s in paths[f][-1:]],
    )
    order.sort(key=lambda f: paths[f][:-1])
    nearest: dict[str, str] = {}
    for fuse in sorted(paths, key=lambda f: -len(sizing[f].feeds)):
        nearest |= dict.fromkeys(sizing[fuse].feeds, fuse)
    rows, y = [], columns.top
    for fuse in order:
        loads = tuple(x for x in sizing[fuse].feeds if nearest[x] == fuse)
        if not loads and any(fuse in path[:-1] for path in paths.values()):
            continue
        high = max(1, math.ceil(len(loads) / columns.across)) * pitch + pitch / 4
        rows.append(Row(fuse, paths[fuse], loads, y, high))
        y += high
    return rows


def power_diagram(result: Assessed) -> Sheets:
    """Battery to loads in one drawing: amps and volts in the state that takes the most."""
    solution = result.solved.meter[largest_state(result)]
    paths = supply_paths(result)
    rows = _rows(result, paths, FIGURE_PITCH_MM, AS_FIGURE)
    if rows and _goes_in_text(rows):
        return (_as_figure(result, rows, solution),)
    canvas, inner = _power_sheet(result, solution.state)
    pitch, least = PITCHES_MM
    rows = _rows(result, paths, pitch, ON_SHEET)
    while rows and rows[-1].y + rows[-1].h > inner.bottom and pitch > least:
        pitch -= 0.1
        rows = _rows(result, paths, pitch, ON_SHEET)
    shown = [r for r in rows if r.y + r.h <= inner.bottom]
    _draw(canvas, result, shown, solution, pitch, ON_SHEET)
    room = canvas.width - BLOCK_MM[0] - 2 * ON_SHEET.edge - 2
    for n, line in enumerate(wrapped(_foot(result, solution), SMALL_MM, room, 4)):
        canvas.text(ON_SHEET.edge, canvas.height - 17.0 + n * 3.4, line)
    if len(shown) < len(rows):
        note = say("{n} more fuses: see the load table", n=len(rows) - len(shown))
        canvas.text(inner.right, inner.y + 2.6, note, anchor="end", bold=True)
    return (canvas.drawing("power", say("Power at a glance")),)


def _goes_in_text(rows: Sequence[Row]) -> bool:
    """Whether a figure is high enough for the rows, and wide enough for the names of stages."""
    stages = {stage for row in rows for stage in row.path[:-1]}
    names = max((text_width_mm(stage, SMALL_MM, bold=True) for stage in stages), default=0.0)
    return rows[-1].y + rows[-1].h <= FIGURE_HIGH_MM - STRIP_MM and names + 1.2 <= _stage_width(
        rows, AS_FIGURE
    )


def _as_figure(result: Assessed, rows: list[Row], solution: Solution) -> Drawing:
    foot = rows[-1].y + rows[-1].h
    notes = wrapped(_foot(result, solution), SMALL_MM, FIGURE_MM - 2 * AS_FIGURE.edge, 3)
    canvas = figure(
        FIGURE_MM,
        foot + 2.0 + 3.4 * len(notes),
        result.vehicle.description.vehicle,
        "power",
        say("Power at a glance: battery to loads"),
        solution.state,
    )
    _draw(canvas, result, rows, solution, FIGURE_PITCH_MM, AS_FIGURE)
    for n, line in enumerate(notes):
        canvas.text(AS_FIGURE.edge, foot + 4.0 + n * 3.4, line)
    return canvas.drawing("power", say("Power at a glance"))


def _draw(
    canvas: Canvas,
    result: Assessed,
    rows: list[Row],
    solution: Solution,
    pitch: float,
    columns: Columns,
) -> None:
    """Heads, fuses, loads and stages."""
    _power_head(canvas, result.vehicle, solution, columns)
    for row in rows:
        _power_fuse(canvas, result, row, solution, columns)
        if not row.loads:
            joined = _neighbours(result, row.fuse) or say("nothing yet")
            text = say("no load of its own; joined to {devices}", devices=joined)
            middle, x = row.y + row.h / 2 + 0.9, columns.loads + 0.8
            canvas.text(x, middle, fitted(text, SMALL_MM, columns.right - x), colour=GREY)
        for n, load in enumerate(row.loads):
            _power_load(canvas, result, row, n, load, solution, pitch, columns)
    _power_stages(canvas, result, rows, solution, columns)


def _power_sheet(result: Sized, state: str) -> tuple[Canvas, Box]:
    """The framed sheet, and what is left to draw in."""
    canvas, vehicle = Canvas(*SHEET_MM), result.vehicle.description.vehicle
    title = Title(
        vehicle.name,
        say("Power at a glance: battery to loads"),
        say("whole vehicle"),
        vehicle.revision,
        str(vehicle.date),
        state=state,
        name="power",
    )
    return canvas, frame(canvas, title)


def _neighbours(result: Sized, fuse: str) -> str:
    """Devices that the fuse's circuits join it to."""
    joined: list[str] = []
    for pin in result.vehicle.devices[fuse].pins:
        for circuit in result.vehicle.circuit_of_pin.get(pin.id, ()):
            joined += [p.device for p in result.vehicle.circuits[circuit].pins]
    return ", ".join(d for d in dict.fromkeys(joined) if d != fuse)


def _foot(result: Sized, solution: Solution) -> str:
    """That volts of what pulses are means, which look too low among the others; the unfused."""
    loads = {load.id: load for device in result.vehicle.devices.values() for load in device.loads}
    shown = (loads[x] for fuse in result.sizing.fuses.values() for x in fuse.feeds)
    words = say("Amps and volts of loads in pulses are means, as a meter shows them.")
    told = any(in_pulses(solution, load) for load in shown)
    return f"{words} {_unfused(result)}" if told else _unfused(result)


def _unfused(result: Sized) -> str:
    """Loads of 1 A and more that no fuse feeds, with their most and when."""
    fused = {load for fuse in result.sizing.fuses.values() for load in fuse.feeds}
    found = []
    for load in (x for d in result.vehicle.devices.values() for x in d.loads if x.id not in fused):
        currents = {
            s: abs(m.current_a.get(f"load:{load.id}", 0.0)) for s, m in result.solved.meter.items()
        }
        state = max(currents, key=lambda s: currents[s])
        if currents[state] >= 1:
            found.append(f"{load.id} {currents[state]:.0f} A ({state})")
    loads = ", ".join(found) or say("none", context="loads")
    return say("Loads of 1 A and more without a fuse: {loads}", loads=loads)


def _power_head(canvas: Canvas, vehicle: Vehicle, solution: Solution, columns: Columns) -> None:
    base = columns.top - 3.4
    canvas.text(columns.edge, base - 5.0, _power_source(vehicle, solution))
    through = say("comes through (fuse: rating, amps; volts there)")
    canvas.text(columns.edge, base, through, colour=GREY)
    canvas.text(columns.fuses, base, say("rating, amps, volts after it"), colour=GREY)
    loads = say("loads: amps now and volts across them; off where the state does not use them")
    room = columns.right - columns.loads
    if text_width_mm(loads, SMALL_MM) <= room:
        shown = loads
    else:
        shown = say("loads: amps now and volts across them")
    canvas.text(columns.loads, base, shown, colour=GREY)
    canvas.line([(columns.edge, base + 1.8), (columns.right, base + 1.8)], 0.35)


def _power_source(vehicle: Vehicle, solution: Solution) -> str:
    """What the generator gives, the battery takes or gives, and the loads take."""
    values: dict[str, Any] = {
        "generator": first_up(say(vehicle.supply.generator_word)),
        "gives": current(solution.alternator_a),
        "most": current(solution.alternator_limit_a),
        "battery": current(abs(solution.charging_a)),
        "loads": current(demand_a(vehicle, solution)),
    }
    if solution.charging_a >= 0:
        return say(
            "{generator} gives {gives} (can give {most}); battery takes {battery}; "
            "loads take {loads}",
            **values,
        )
    return say(
        "{generator} gives {gives} (can give {most}); battery gives {battery}; loads take {loads}",
        **values,
    )


def _power_fuse(
    canvas: Canvas, result: Assessed, row: Row, solution: Solution, columns: Columns
) -> None:
    x, wide, loads = columns.fuses, columns.fuse_wide, columns.loads - 1
    amps = abs(solution.current_a.get(f"fuse:{row.fuse}", 0.0))
    box = Box(x, row.y + 0.2, wide, row.h - 0.4)
    canvas.rect(box, 0.35, fill="#ffffff", class_="fuse")
    middle = row.y + row.h / 2 + 0.9
    rating = f"{result.sizing.fuses[row.fuse].rating_a:g} A"
    volts = _fed_volts(result, row.fuse, solution)
    figures = ", ".join((in_figures(rating), current(amps), *(in_figures(v) for v in volts)))
    room = wide - text_width_mm(figures, SMALL_MM) - 3
    canvas.text(x + 1, middle, fitted(row.fuse, SMALL_MM, room, True), bold=True)
    canvas.text(x + wide - 1, middle, figures, anchor="end")
    canvas.line([(x + wide, row.y + row.h / 2), (loads, row.y + row.h / 2)], 0.35)
    canvas.line([(loads, row.y + 0.6), (loads, row.y + row.h - 0.6)], 0.35)


def _fed_volts(result: Assessed, fuse: str, solution: Solution) -> list[str]:
    """Volts that a fuse passes on: the lower of its two sides."""
    found = _volts_at(result, result.vehicle.devices[fuse].pins, solution)
    return [f"{min(found):.1f} V"] if found else []


def _volts_at(result: Assessed, pins: Sequence[Pin], solution: Solution) -> list[float]:
    """Volts of those of the pins that have a reading in the state."""
    shown = [result.readings[solution.state].at_pin(pin.id) for pin in pins]
    return [reading.volts.nominal for reading in shown if reading and reading.volts]


def _load_figures(result: Assessed, load_id: str, solution: Solution) -> str:
    """Amps and volts of a load, nothing where no current flows."""
    load = next(x for d in result.vehicle.devices.values() for x in d.loads if x.id == load_id)
    amps = abs(solution.current_a.get(f"load:{load_id}", 0.0))
    volts = abs(result.readings[solution.state].volts_across(load.from_pin, load.to_pin))
    if amps < 0.0005 or volts < 0.05:
        return ""
    return ", ".join((current(amps), in_figures(f"{volts:.1f} V")))


def _power_load(
    canvas: Canvas,
    result: Assessed,
    row: Row,
    n: int,
    load: str,
    solution: Solution,
    pitch: float,
    columns: Columns,
) -> None:
    down, aside = divmod(n, columns.across)
    room = (columns.right - columns.loads) / columns.across
    x, y = columns.loads + aside * room, row.y + down * pitch + 5 / 8 * pitch + 0.9
    figures = _load_figures(result, load, solution)
    shown = figures or say("off", context="load")
    wide = text_width_mm(shown, SMALL_MM)
    canvas.text(x + 0.8, y, fitted(load, SMALL_MM, room - wide - 3.2))
    canvas.text(x + room - 1.4, y, shown, anchor="end", colour=INK if figures else GREY)


def _spans(rows: Sequence[Row], depth: int) -> list[tuple[Stage, float, float]]:
    """Stages at one depth with top and bottom, rows of one path joined up."""
    spans: list[tuple[Stage, float, float]] = []
    for row in rows:
        upstream = row.path[:-1]
        if len(upstream) <= depth:
            continue
        stage = Stage(upstream[depth], upstream[: depth + 1])
        if spans and spans[-1][0] == stage and abs(spans[-1][2] - row.y) < 0.01:
            spans[-1] = (stage, spans[-1][1], row.y + row.h)
        else:
            spans.append((stage, row.y, row.y + row.h))
    return spans


def _stage_width(rows: Sequence[Row], columns: Columns) -> float:
    deepest = max((len(r.path) - 1 for r in rows), default=0)
    return min(26.0, (columns.fuses - columns.edge) / max(1, deepest) - STAGE_GAP)


def _power_stages(
    canvas: Canvas, result: Assessed, rows: list[Row], solution: Solution, columns: Columns
) -> None:
    """Boxes from the battery towards the fuses, each as high as what it feeds."""
    deepest = max((len(r.path) - 1 for r in rows), default=0)
    width, edge, fuses = _stage_width(rows, columns), columns.edge, columns.fuses
    for row in rows:
        end = edge + (len(row.path) - 1) * (width + STAGE_GAP) - STAGE_GAP
        middle = row.y + row.h / 2
        if end < fuses:
            canvas.line([(end, middle), (fuses, middle)], 0.35)
    for depth in range(deepest):
        x = edge + depth * (width + STAGE_GAP)
        for stage, top, bottom in _spans(rows, depth):
            feeds = [r for r in rows if r.path[: depth + 1] == stage.path]
            alone = all(len(r.path) == depth + 2 for r in feeds)
            wanted = text_width_mm(stage.device, SMALL_MM, bold=True) + 2.0
            wide = max(width, min(wanted, fuses - STAGE_GAP - x)) if alone else width
            box = Box(x, top + 0.2, wide, bottom - top - 0.4)
            canvas.rect(box, 0.35, fill="#eeeeee" if depth % 2 else "#ffffff", class_="stage")
            _power_words(canvas, box, stage.device, _stage_words(result, stage.device, solution))


def _power_words(canvas: Canvas, box: Box, device: str, words: list[str]) -> None:
    """The name and below it as many of the words as the height takes."""
    room = max(0, int((box.h - 4.0) / 3.3))
    lines = [fitted(device, SMALL_MM, box.w - 1.2, True), *words[:room]]
    first = box.y + box.h / 2 + 0.95 - 1.65 * (len(lines) - 1)
    for n, line in enumerate(lines):
        text = fitted(line, SMALL_MM, box.w - 1.0, n == 0)
        canvas.text(box.x + box.w / 2, first + 3.3 * n, text, anchor="middle", bold=n == 0)


def _stage_words(result: Assessed, device: str, solution: Solution) -> list[str]:
    """Volts at a stage; above them, of a fuse, its rating and the amps through it."""
    volts = _stage_volts(result, device, solution)
    sizing = result.sizing.fuses.get(device)
    if sizing is None:
        return [volts] if volts else []
    amps = abs(solution.current_a.get(f"fuse:{device}", 0.0))
    return [in_figures(f"{sizing.rating_a:g} A"), current(amps), volts]


def _stage_volts(result: Assessed, device: str, solution: Solution) -> str:
    """Highest voltage at the device's pins in the state."""
    pins = (
        (result.vehicle.pins[device],)
        if device in result.vehicle.pins
        else (result.vehicle.devices[device].pins)
    )
    found = _volts_at(result, pins, solution)
    return in_figures(f"{max(found):.2f} V") if found else ""
