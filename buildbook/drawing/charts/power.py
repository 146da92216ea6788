"""Power at a glance: from the battery through every fuse to its loads, on one sheet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import networkx

from buildbook.checks.stages import Assessed
from buildbook.drawing.charts.axis import amps_words
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.drawing.shared.canvas import GREY, INK, Canvas
from buildbook.drawing.shared.lettering import SMALL_MM, fitted, text_width_mm, wrapped
from buildbook.drawing.shared.model import SHEET_MM
from buildbook.drawing.shared.sheet import BLOCK_MM, Title, frame
from buildbook.electrical.model import Solution
from buildbook.electrical.supply import demand_a
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Pin, Vehicle


@dataclass(frozen=True)
class Stage:
    """A box of the power tree: a device between the battery and a fuse, or the fuse."""

    device: str
    path: tuple[str, ...]
    """Devices from the battery down to this one."""


def largest_state(result: Sized) -> str:
    """The state in which the fused loads take the most; the starter has no fuse.

    One in which a contact buzzes is left out where there is another: what it takes is not sure.
    """
    fused = {load for fuse in result.sizing.fuses.values() for load in fuse.feeds}
    meter = result.solved.meter
    sure = [state for state, solution in meter.items() if not solution.unsettled]
    return max(
        sure or meter,
        key=lambda s: sum(abs(meter[s].current_a.get(f"load:{x}", 0.0)) for x in fused),
    )


def _owner(result: Sized, node: str) -> str:
    """Device that a node belongs to, with the stud for a panel; '' for splices and halves."""
    pin = result.vehicle.pins.get(node.rstrip("~"))
    if pin is None:
        return ""
    kind = result.vehicle.devices[pin.device].kind
    return pin.id if kind == "panel" else pin.device


def supply_paths(result: Sized) -> dict[str, tuple[str, ...]]:
    """Fuse -> devices that its current comes through from the battery, the fuse last.

    The shortest conductive way over all states (relays closed in any), loads left out.
    """
    graph: networkx.Graph[str] = networkx.Graph()
    vehicle = result.vehicle
    for solution in result.solved.meter.values():
        for branch in solution.branches.values():
            if branch.kind in ("wire", "pin", "fuse", "bus", "contact"):
                graph.add_edge(branch.a, branch.b, weight=max(branch.ohms, 1e-6) + 1e-4)
    reference = f"{vehicle.supply.earthed_pin}~"
    graph.remove_nodes_from([n for n in (reference, "chassis") if n in graph])
    posts = (pin for b in vehicle.supply.batteries for pin in (b.plus_pin, b.minus_pin))
    live = {f"{pin}~" for pin in posts if pin in vehicle.supply.live_pins} & graph.nodes
    if not live:
        return {}
    ways = networkx.multi_source_dijkstra_path(graph, live)
    found: dict[str, tuple[str, ...]] = {}
    for fuse in result.sizing.fuses:
        ends = [p.id + "~" for p in vehicle.devices[fuse].pins if p.id + "~" in ways]
        near = min(ends, key=lambda n: len(ways[n]), default=None)
        if near is None:
            continue
        owners = [o for o in (_owner(result, node) for node in ways[near]) if o]
        found[fuse] = tuple(dict.fromkeys([*owners, fuse]))
    return found


@dataclass(frozen=True)
class Row:
    """A fuse of the tree and its place on the sheet."""

    fuse: str
    path: tuple[str, ...]
    loads: tuple[str, ...]
    y: float
    h: float


EDGE_X, FUSE_X, FUSE_W, LOADS_X = 6.5, 94.5, 36.0, 134.0
STAGE_GAP = 1.9
TOP_MM = 17.5
ACROSS = 3
PITCHES_MM = (6.0, 3.0)
"""Between lines of loads, from the widest, where there are few, to the least that can be read."""


def _rows(result: Sized, paths: dict[str, tuple[str, ...]], pitch: float) -> list[Row]:
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
    rows, y = [], TOP_MM
    for fuse in order:
        loads = tuple(x for x in sizing[fuse].feeds if nearest[x] == fuse)
        if not loads and any(fuse in path[:-1] for path in paths.values()):
            continue
        high = max(1, math.ceil(len(loads) / ACROSS)) * pitch + pitch / 4
        rows.append(Row(fuse, paths[fuse], loads, y, high))
        y += high
    return rows


def power_diagram(result: Assessed) -> Sheets:
    """Battery to loads on one sheet: amps and volts in the state that takes the most."""
    state = largest_state(result)
    solution = result.solved.meter[state]
    canvas, inner = _power_sheet(result, state)
    paths = supply_paths(result)
    pitch, least = PITCHES_MM
    rows = _rows(result, paths, pitch)
    while rows and rows[-1].y + rows[-1].h > inner.bottom and pitch > least:
        pitch -= 0.1
        rows = _rows(result, paths, pitch)
    _power_head(canvas, inner, result.vehicle, solution)
    shown = [r for r in rows if r.y + r.h <= inner.bottom]
    for row in shown:
        _power_fuse(canvas, result, row, solution)
        if not row.loads:
            text = f"no load of its own; joined to {_neighbours(result, row.fuse)}"
            middle = row.y + row.h / 2 + 0.9
            canvas.text(LOADS_X + 0.8, middle, fitted(text, SMALL_MM, 120), colour=GREY)
        for n, load in enumerate(row.loads):
            _power_load(canvas, inner, result, row, n, load, solution, pitch)
    _power_stages(canvas, result, shown, solution)
    notes = wrapped(_unfused(result), SMALL_MM, canvas.width - BLOCK_MM[0] - 2 * EDGE_X - 2, 4)
    for n, line in enumerate(notes):
        canvas.text(EDGE_X, canvas.height - 17.0 + n * 3.4, line)
    if len(shown) < len(rows):
        note = f"{len(rows) - len(shown)} more fuses: see the load table"
        canvas.text(inner.right, inner.y + 2.6, note, anchor="end", bold=True)
    return (canvas.drawing("power", "Power at a glance"),)


def _power_sheet(result: Sized, state: str) -> tuple[Canvas, Box]:
    """The framed sheet, and what is left to draw in."""
    canvas, vehicle = Canvas(*SHEET_MM), result.vehicle.description.vehicle
    title = Title(
        vehicle.name,
        "Power at a glance: battery to loads",
        "whole vehicle",
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
    return ", ".join(d for d in dict.fromkeys(joined) if d != fuse) or "nothing yet"


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
    return "Loads of 1 A and more without a fuse: " + (", ".join(found) or "none")


def _power_head(canvas: Canvas, inner: Box, vehicle: Vehicle, solution: Solution) -> None:
    called = vehicle.supply.generator_word.capitalize()
    source = (
        f"{called} gives {solution.alternator_a:.1f} A (can give "
        f"{solution.alternator_limit_a:.1f} A); battery "
        + (
            f"takes {solution.charging_a:.1f} A"
            if solution.charging_a >= 0
            else f"gives {-solution.charging_a:.1f} A"
        )
        + f"; loads take {demand_a(vehicle, solution):.1f} A"
    )
    canvas.text(EDGE_X, inner.y + 2.6, source)
    base = inner.y + 7.6
    canvas.text(EDGE_X, base, "comes through (fuse: rating, amps; volts there)", colour=GREY)
    canvas.text(FUSE_X, base, "rating, amps, volts after it", colour=GREY)
    canvas.text(
        LOADS_X,
        base,
        "loads: amps now and volts across them; off where the state does not use them",
        colour=GREY,
    )
    canvas.line([(EDGE_X, base + 1.8), (inner.right, base + 1.8)], 0.35)


def _power_fuse(canvas: Canvas, result: Assessed, row: Row, solution: Solution) -> None:
    amps = abs(solution.current_a.get(f"fuse:{row.fuse}", 0.0))
    box = Box(FUSE_X, row.y + 0.2, FUSE_W, row.h - 0.4)
    canvas.rect(box, 0.35, fill="#ffffff", class_="fuse")
    middle = row.y + row.h / 2 + 0.9
    rating = f"{result.sizing.fuses[row.fuse].rating_a:g} A"
    figures = ", ".join([rating, f"{amps:.1f} A", *_fed_volts(result, row.fuse, solution)])
    wide = text_width_mm(figures, SMALL_MM)
    canvas.text(FUSE_X + 1, middle, fitted(row.fuse, SMALL_MM, FUSE_W - wide - 3, True), bold=True)
    canvas.text(FUSE_X + FUSE_W - 1, middle, figures, anchor="end")
    canvas.line([(FUSE_X + FUSE_W, row.y + row.h / 2), (LOADS_X - 1, row.y + row.h / 2)], 0.35)
    canvas.line([(LOADS_X - 1, row.y + 0.6), (LOADS_X - 1, row.y + row.h - 0.6)], 0.35)


def _fed_volts(result: Assessed, fuse: str, solution: Solution) -> list[str]:
    """Volts that a fuse passes on: the lower of its two sides."""
    found = _volts_at(result, result.vehicle.devices[fuse].pins, solution)
    return [f"{min(found):.1f} V"] if found else []


def _volts_at(result: Assessed, pins: Sequence[Pin], solution: Solution) -> list[float]:
    """Volts of those of the pins that have a reading in the state."""
    shown = [result.readings[solution.state].at_pin(pin.id) for pin in pins]
    return [reading.volts.nominal for reading in shown if reading and reading.volts]


def _load_figures(result: Assessed, load_id: str, solution: Solution) -> tuple[str, str]:
    """Name of a load and its amps and volts, 'off' where no current flows."""
    load = next(x for d in result.vehicle.devices.values() for x in d.loads if x.id == load_id)
    amps = abs(solution.current_a.get(f"load:{load_id}", 0.0))
    volts = abs(result.readings[solution.state].volts_across(load.from_pin, load.to_pin))
    if amps < 0.0005 or volts < 0.05:
        return load_id, "off"
    return load_id, f"{amps_words(amps, 1)}, {volts:.1f} V"


def _power_load(
    canvas: Canvas,
    inner: Box,
    result: Assessed,
    row: Row,
    n: int,
    load: str,
    solution: Solution,
    pitch: float,
) -> None:
    room = (inner.right - LOADS_X) / ACROSS
    x, y = LOADS_X + n % ACROSS * room, row.y + n // ACROSS * pitch + 5 / 8 * pitch + 0.9
    name, figures = _load_figures(result, load, solution)
    wide = text_width_mm(figures, SMALL_MM)
    canvas.text(x + 0.8, y, fitted(name, SMALL_MM, room - wide - 3.2))
    on = figures != "off"
    canvas.text(x + room - 1.4, y, figures, anchor="end", colour=INK if on else GREY)


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


def _power_stages(canvas: Canvas, result: Assessed, rows: list[Row], solution: Solution) -> None:
    """Boxes from the battery towards the fuses, each as high as what it feeds."""
    deepest = max((len(r.path) - 1 for r in rows), default=0)
    width = min(26.0, (FUSE_X - EDGE_X) / max(1, deepest) - STAGE_GAP)
    for row in rows:
        end = EDGE_X + (len(row.path) - 1) * (width + STAGE_GAP) - STAGE_GAP
        middle = row.y + row.h / 2
        if end < FUSE_X:
            canvas.line([(end, middle), (FUSE_X, middle)], 0.35)
    for depth in range(deepest):
        x = EDGE_X + depth * (width + STAGE_GAP)
        for stage, top, bottom in _spans(rows, depth):
            feeds = [r for r in rows if r.path[: depth + 1] == stage.path]
            alone = all(len(r.path) == depth + 2 for r in feeds)
            wanted = text_width_mm(stage.device, SMALL_MM, bold=True) + 2.0
            wide = max(width, min(wanted, FUSE_X - STAGE_GAP - x)) if alone else width
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
    return [f"{sizing.rating_a:g} A", f"{amps:.1f} A", volts]


def _stage_volts(result: Assessed, device: str, solution: Solution) -> str:
    """Highest voltage at the device's pins in the state."""
    pins = (
        (result.vehicle.pins[device],)
        if device in result.vehicle.pins
        else (result.vehicle.devices[device].pins)
    )
    found = _volts_at(result, pins, solution)
    return f"{max(found):.2f} V" if found else ""
