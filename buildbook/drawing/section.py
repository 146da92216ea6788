"""Cross-section of the fullest run of each harness, wires at true relative diameters."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from buildbook.drawing.model import Drawing
from buildbook.drawing.sheet import (
    GREY,
    NORMAL_MM,
    SMALL_MM,
    Box,
    Canvas,
    fitted,
    text_width_mm,
)
from buildbook.drawing.wire import swatch
from buildbook.harness.model import Wire
from buildbook.result import Result
from buildbook.vehicle.model import Run

WIDTH_MM = 170.0
ROW_MM = 3.7
KEY_MM = 42.0
"""Width of one column of the key."""
ROWS = 34
HEIGHT_MM = 240.0
LEAST_MM = 80.0
"""Smallest diameter of a section that stands above its key."""
LISTED = 140
"""Wires up to which every wire has its own row in the key: beyond, the sheet has no room."""
LEAST_R_MM = 2.7
"""Smallest drawn radius that takes a two-digit number."""


@dataclass(frozen=True)
class Disc:
    """A wire in the section, mm."""

    wire: str
    x: float
    y: float
    r: float


def outside_mm(result: Result, wire: Wire) -> float:
    """Outside diameter of a wire with its insulation, from the catalogue."""
    sizing = result.sizing.wires[wire.id]
    family = result.vehicle.wire_families[sizing.family]
    return next(c.outside_mm for c in family.conductors if c.label == sizing.label)


def pack(radii: dict[str, float]) -> tuple[Disc, ...]:
    """Discs laid thickest first, each touching two others as near the middle as it goes."""
    order = sorted(radii.items(), key=lambda pair: (-pair[1], pair[0]))
    x, y, r = np.zeros(len(order)), np.zeros(len(order)), np.array([r for _, r in order])
    x[1:2] = r[:1] + r[1:2]
    spots = np.empty((0, 2))
    for n in range(2, len(order)):
        if n == 2 or r[n] != r[n - 1]:
            spots = np.vstack([_spots_beside(i, x, y, r, r[n], i) for i in range(1, n)])
            spots = _free(spots, x[:n], y[:n], r[:n] + r[n])
        else:
            spots = _free(spots, x[n - 1 : n], y[n - 1 : n], r[n - 1 : n] + r[n])
            fresh = _spots_beside(n - 1, x, y, r, r[n], n - 1)
            spots = np.vstack([spots, _free(fresh, x[:n], y[:n], r[:n] + r[n])])
        x[n], y[n] = _nearest(spots, x[:n], y[:n], r[:n])
    return tuple(
        Disc(wire, float(x[n]), float(y[n]), radius) for n, (wire, radius) in enumerate(order)
    )


def _nearest(
    spots: np.ndarray, x: np.ndarray, y: np.ndarray, r: np.ndarray
) -> tuple[float, float]:
    """The spot nearest to the discs' common centre of area; leftmost, then topmost, of equals."""
    weights = r**2 / np.sum(r**2)
    away = np.hypot(spots[:, 0] - x @ weights, spots[:, 1] - y @ weights).round(9)
    near = spots[away == away.min()]
    return min((float(px), float(py)) for px, py in near)


def _free(spots: np.ndarray, x: np.ndarray, y: np.ndarray, reach: np.ndarray) -> np.ndarray:
    """The spots that keep `reach` clear of every disc."""
    square = (spots[:, :1] - x) ** 2 + (spots[:, 1:] - y) ** 2
    return spots[np.all(square >= (reach - 1e-7) ** 2, axis=1)]


def _spots_beside(
    i: int, x: np.ndarray, y: np.ndarray, r: np.ndarray, radius: float, count: int
) -> np.ndarray:
    """Centres of the discs of `radius` that touch disc i and one of the first `count`."""
    gap = np.hypot(x[:count] - x[i], y[:count] - y[i])
    near = np.flatnonzero(gap <= r[i] + r[:count] + 2 * radius)
    gap = gap[near]
    along = (gap**2 + (r[i] + radius) ** 2 - (r[near] + radius) ** 2) / (2 * gap)
    square = (r[i] + radius) ** 2 - along**2
    kept = square >= 0
    near, gap, along, up = near[kept], gap[kept], along[kept], np.sqrt(square[kept])
    ux, uy = (x[near] - x[i]) / gap, (y[near] - y[i]) / gap
    sides = [
        np.column_stack([x[i] + along * ux - s * up * uy, y[i] + along * uy + s * up * ux])
        for s in (1, -1)
    ]
    return np.vstack(sides)


def enclosing(discs: tuple[Disc, ...]) -> tuple[float, float, float]:
    """Centre and radius of a circle round all discs: walks towards the farthest, ever less."""
    x = sum(d.x * d.r for d in discs) / sum(d.r for d in discs)
    y = sum(d.y * d.r for d in discs) / sum(d.r for d in discs)
    step = 0.5
    for _ in range(300):
        far = max(discs, key=lambda d: math.hypot(d.x - x, d.y - y) + d.r)
        x, y = x + step * (far.x - x), y + step * (far.y - y)
        step *= 0.97
    return x, y, max(math.hypot(d.x - x, d.y - y) + d.r for d in discs)


def fullest_run(result: Result, harness: str) -> Run | None:
    """The run of a harness with the most wires; the first of equals."""
    bundles = result.harness.bundles
    runs = [r for r in result.vehicle.runs if r.harness == harness and r.id in bundles]
    runs = [r for r in runs if bundles[r.id].wires]
    return max(runs, key=lambda r: len(bundles[r.id].wires), default=None)


@dataclass(frozen=True)
class Entry:
    """A row of the key: one wire, or in a crowded section all wires of one colour and size."""

    wires: tuple[str, ...]
    colour: str
    size: str


@dataclass(frozen=True)
class Plan:
    """Where the section and its key go on the drawing, mm."""

    width: float
    height: float
    across: float
    """Diameter of the drawn section."""
    key_x: float
    key_y: float
    rows: int
    columns: int


def key_entries(result: Result, wires: list[Wire]) -> tuple[Entry, ...]:
    """A row for every wire; over `LISTED` wires one for every colour and size, fullest first."""
    each = [
        Entry((w.id,), w.colour, result.sizing.wires[w.id].label.replace("mm2", "mm²"))
        for w in wires
    ]
    if len(wires) <= LISTED:
        return tuple(each)
    groups: dict[tuple[str, str], list[str]] = {}
    for entry in each:
        groups.setdefault((entry.colour, entry.size), []).extend(entry.wires)
    order = sorted(groups.items(), key=lambda pair: (-len(pair[1]), pair[0]))
    return tuple(Entry(tuple(held), colour, size) for (colour, size), held in order)


def _plan(entries: int, wires: int, radius: float, thinnest: float) -> Plan:
    """Key beside the section while both go in the width, else below it in four columns."""
    wanted = max(34.0, 2 * radius * LEAST_R_MM / thinnest * 1.15)
    columns = math.ceil(entries / ROWS)
    if columns <= 2 and wires <= LISTED:
        across = min(wanted, max(48.0, WIDTH_MM - 14 - columns * KEY_MM))
        rows = math.ceil(entries / columns)
        width = max(100.0, across + 14 + columns * KEY_MM)
        height = max(across + 30.0, rows * ROW_MM + 24.0)
        return Plan(width, height, across, across + 11, 21.5, rows, columns)
    columns = int(WIDTH_MM // KEY_MM)
    rows = min(math.ceil(entries / columns), int((HEIGHT_MM - 29 - LEAST_MM) / ROW_MM))
    across = min(wanted, WIDTH_MM - 12, HEIGHT_MM - 29 - rows * ROW_MM)
    top = across + 27
    return Plan(WIDTH_MM, top + rows * ROW_MM + 2, across, 1.0, top, rows, columns)


def section(result: Result, run: Run) -> Drawing:
    """The section of one run with its key and outside diameter."""
    wires = [result.harness.wires[w] for w in result.harness.bundles[run.id].wires]
    discs = pack({w.id: outside_mm(result, w) / 2 for w in wires})
    cx, cy, radius = enclosing(discs)
    entries = key_entries(result, wires)
    plan = _plan(len(entries), len(wires), radius, min(d.r for d in discs))
    scale = plan.across / (2 * radius)
    canvas = Canvas(plan.width, plan.height)
    _head(canvas, run, len(wires), radius, scale)
    beside = plan.key_y < 20 + plan.across
    middle = ((5 if beside else (plan.width - plan.across) / 2) + plan.across / 2,
              20 + plan.across / 2)  # fmt: skip
    canvas.circle(*middle, plan.across / 2 + 0.6, 0.5, class_="cover")
    order = {wire: n for n, entry in enumerate(entries, 1) for wire in entry.wires}
    for disc in discs:
        spot = (middle[0] + (disc.x - cx) * scale, middle[1] + (disc.y - cy) * scale)
        wire = result.harness.wires[disc.wire]
        _draw_disc(canvas, spot, disc.r * scale, order[disc.wire], wire.colour)
    _key(canvas, entries, plan)
    name = f"section-{run.harness}"
    return canvas.drawing(name, f"{run.harness} harness: section of run {run.id}")


def _head(canvas: Canvas, run: Run, count: int, radius: float, scale: float) -> None:
    room = canvas.width - 4
    title = f"{run.harness} harness, fullest run: {run.from_point} to {run.to_point}"
    canvas.text(2, 4.2, fitted(title, NORMAL_MM, room, True), NORMAL_MM, bold=True)
    size = f"{count} wires, outside diameter {2 * radius:.1f} mm before the cover"
    canvas.text(2, 9.2, fitted(size, NORMAL_MM, room), NORMAL_MM, class_="diameter")
    note = f"Scale {scale:.1f} : 1, diameters true; places in the bundle are not prescribed"
    if count > LISTED:
        note += "; number: colour and size in the key, every wire: cut list"
    canvas.text(2, 13.4, fitted(note, SMALL_MM, room), colour=GREY)


def _draw_disc(
    canvas: Canvas, spot: tuple[float, float], r: float, number: int, colour: str
) -> None:
    """A wire with its number on white, and its letters under that where they go in."""
    swatch(canvas, *spot, r, colour)
    text = str(number)
    size = SMALL_MM if r < 5 else NORMAL_MM
    letters = r * 1.5 >= text_width_mm(colour, SMALL_MM) and r >= 4.2
    base = spot[1] + 0.36 * size - (1.5 if letters else 0)
    if text_width_mm(text, size) <= 1.9 * r:
        canvas.text(spot[0], base, text, size, "middle", halo=True, class_="number")
    if letters:
        canvas.text(spot[0], base + 3.0, colour, SMALL_MM, "middle", halo=True)


def _key(canvas: Canvas, entries: tuple[Entry, ...], plan: Plan) -> None:
    """Number, wire (or how many), colour and size of every entry, in columns."""
    room = plan.rows * plan.columns
    shown = entries if len(entries) <= room else entries[: room - 1]
    for n, entry in enumerate(shown):
        x, y = plan.key_x + n // plan.rows * KEY_MM, plan.key_y + n % plan.rows * ROW_MM
        what = entry.wires[0] if len(entry.wires) == 1 else f"{len(entry.wires)} off"
        canvas.text(x + 5, y, str(n + 1), anchor="end", bold=True)
        swatch(canvas, x + 7.6, y - 0.95, 1.3, entry.colour, class_="key")
        canvas.text(x + 10, y, fitted(what, SMALL_MM, 9))
        canvas.text(x + 19.5, y, fitted(entry.colour, SMALL_MM, 9))
        canvas.text(x + 29, y, fitted(entry.size, SMALL_MM, KEY_MM - 30))
    if len(shown) < len(entries):
        x, y = plan.key_x + (plan.columns - 1) * KEY_MM, plan.key_y + (plan.rows - 1) * ROW_MM
        canvas.text(x + 2, y, f"{len(entries) - len(shown)} more: see the cut list", bold=True)
    left, top = plan.key_x, plan.key_y - 3.5
    canvas.block(Box(left, top, canvas.width - left, plan.rows * ROW_MM))


def sections(result: Result) -> dict[str, Drawing]:
    """Harness -> section of its fullest run."""
    found = {h: fullest_run(result, h) for h in result.vehicle.description.rope}
    return {h: section(result, run) for h, run in found.items() if run}
