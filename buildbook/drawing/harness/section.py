"""Cross-section of a harness at its fullest run: every wire at its true diameter, with a key."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import BySubject
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted, label_box, text_width_mm
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.sheet import STRIP_MM, figure
from buildbook.drawing.shared.wire import swatch
from buildbook.figures import Units
from buildbook.harness.finishing import FinishedRun
from buildbook.harness.lay_up import Layer, Spot, Strand, spots
from buildbook.harness.model import Wire
from buildbook.harness.packing import enclosing, pack
from buildbook.harness.places import FLAT
from buildbook.sizing.finished_runs import outside_mm
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Run
from buildbook.words.say import in_figures, say, say_n

WIDTH_MM = 170.0
ROW_MM = 3.7
KEY_MM = 42.0
"""Width of one column of the key."""
ROWS = 34
HEIGHT_MM = 240.0 - STRIP_MM
LEAST_MM = 70.0
"""Smallest diameter of a section that stands above its key."""
HEAD_MM = 20.0
"""Height of the words over a section and its key, their last descenders with it."""
LISTED = 140
"""Wires up to which every wire has its own row in the key: beyond, the sheet has no room."""


@dataclass(frozen=True)
class Disc:
    """A circle in the section, mm from its middle, y downwards."""

    wire: str
    """'' for the jacket of a cable and for a filler."""
    x: float
    y: float
    r: float


@dataclass(frozen=True)
class Section:
    """What is to be seen of one piece of harness when it is cut through."""

    wires: tuple[Disc, ...]
    jackets: tuple[Disc, ...]
    fillers: tuple[Disc, ...]
    radius: float
    middle: tuple[float, float] = (0.0, 0.0)
    """Of the round that holds all of it, mm from that of the core."""

    def scale_for_names(self) -> float:
        """Scale at which every wire's name goes inside it."""
        return max((text_width_mm(d.wire, SMALL_MM) + 0.5) / (2 * d.r) for d in self.wires)


def cut_through(result: Sized, piece: FinishedRun) -> Section:
    """The circles of one piece, at the true diameters of its wires."""
    od = outside_mm(result.vehicle, result.sizing)
    if piece.lay_up:
        places: tuple[Spot, ...] = spots(piece.lay_up)
    else:
        packed = pack([s.diameter_mm / 2 for s in piece.strands]).centres
        places = tuple(
            Spot(strand, x, y, strand.diameter_mm / 2)
            for strand, (x, y) in zip(piece.strands, packed, strict=True)
        )
    wires: list[Disc] = []
    for spot in places:
        wires += _cores(spot, spot.strand, od) if spot.strand else []
    jackets = [s for s in places if s.strand and len(s.strand.wires) > 1]
    middles = np.array([(s.x, s.y) for s in places])
    (x, y), radius = enclosing(middles, np.array([s.radius for s in places]))
    return Section(
        tuple(wires),
        tuple(Disc("", s.x, -s.y, s.radius) for s in jackets),
        tuple(Disc("", s.x, -s.y, s.radius) for s in places if s.strand is None),
        max(float(radius), piece.bare_mm / 2),
        (float(x), -float(y)),
    )


def _cores(spot: Spot, strand: Strand, od: dict[str, float]) -> list[Disc]:
    """The wires of a strand: itself, or a cable's cores packed inside it."""
    inside = pack([od[wire] / 2 for wire in strand.wires]).centres
    return [
        Disc(wire, spot.x + x, -spot.y - y, od[wire] / 2)
        for wire, (x, y) in zip(strand.wires, inside, strict=True)
    ]


def fullest_run(result: Sized, harness: str) -> Run | None:
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
    layer: str = ""
    """'core', '1', '2', … where twisted."""


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


def key_entries(result: Sized, wires: list[Wire], layers: dict[str, str]) -> tuple[Entry, ...]:
    """A row for every wire; over `LISTED` wires one for every colour and size, fullest first."""
    each = [Entry((w.id,), w.colour, _size(result, w.id), layers.get(w.id, "")) for w in wires]
    if len(wires) <= LISTED:
        return tuple(each)
    groups: dict[tuple[str, str], list[str]] = {}
    for entry in each:
        groups.setdefault((entry.colour, entry.size), []).extend(entry.wires)
    order = sorted(groups.items(), key=lambda pair: (-len(pair[1]), pair[0]))
    return tuple(Entry(tuple(held), colour, size) for (colour, size), held in order)


def _size(result: Sized, wire: str) -> str:
    return result.sizing.wires[wire].label


def layers_of(piece: FinishedRun) -> tuple[Layer, ...]:
    """From the core outwards; none where it is not twisted."""
    return tuple(piece.lay_up.layers) if piece.lay_up else ()


def layer_names(piece: FinishedRun) -> dict[str, str]:
    """Wire id -> 'core', '1', '2', …, 'flat' of a twisted piece."""
    return {
        wire: layer.name
        for layer in layers_of(piece)
        for strand in layer.strands
        for wire in strand.wires
    }


def _plan(entries: int, wires: int, radius: float, scale: float) -> Plan:
    """Key beside the section while both go in the width, else below it in four columns.

    `scale` is the one wanted; a section too large for the sheet is drawn smaller.
    """
    wanted = max(34.0, 2 * radius * scale * 1.02)
    columns = math.ceil(entries / ROWS)
    if columns <= 2 and wires <= LISTED:
        across = min(wanted, max(48.0, WIDTH_MM - 14 - columns * KEY_MM))
        rows = math.ceil(entries / columns)
        width = max(100.0, across + 14 + columns * KEY_MM)
        height = HEAD_MM + max(across + 3.0, rows * ROW_MM + 1.5)
        return Plan(width, height, across, across + 11, HEAD_MM + 3.0, rows, columns)
    columns = int(WIDTH_MM // KEY_MM)
    rows = min(math.ceil(entries / columns), int((HEIGHT_MM - HEAD_MM - 9 - LEAST_MM) / ROW_MM))
    across = min(wanted, WIDTH_MM - 12, HEIGHT_MM - HEAD_MM - 9 - rows * ROW_MM)
    top = HEAD_MM + across + 7.0
    return Plan(WIDTH_MM, top + rows * ROW_MM + 2, across, 1.0, top, rows, columns)


def section(result: Sized, run: Run) -> Drawing:
    """The section of one run with its key and outside diameter."""
    piece = result.finished_runs[run.id]
    seen = cut_through(result, piece)
    wires = [result.harness.wires[w] for w in piece.wires]
    entries = key_entries(result, wires, layer_names(piece))
    plan = _plan(len(entries), len(wires), seen.radius, seen.scale_for_names())
    scale = plan.across / (2 * seen.radius)
    named = scale >= seen.scale_for_names() and len(wires) <= LISTED
    name, title = f"section-{run.harness}", say("Section of run {run}", run=run.id)
    canvas = figure(
        plan.width,
        plan.height,
        result.vehicle.description.vehicle,
        name,
        title,
        scale=_scale_words(scale),
    )
    _head(canvas, run, piece, result.vehicle.measures, named)
    beside = plan.key_y < HEAD_MM + plan.across
    middle = (
        (5 if beside else (plan.width - plan.across) / 2) + plan.across / 2,
        HEAD_MM + 1.2 + plan.across / 2,
    )
    order = {wire: str(n) for n, entry in enumerate(entries, 1) for wire in entry.wires}
    names = {d.wire: d.wire if named else order[d.wire] for d in seen.wires}
    draw_section(canvas, result, seen, middle, scale, names)
    _key(canvas, entries, plan, named)
    called = say("{harness} harness: section of run {run}", harness=run.harness, run=run.id)
    return canvas.drawing(name, called)


def _scale_words(scale: float) -> str:
    return in_figures(f"{scale:.1f}:1")


def draw_section(
    canvas: Canvas,
    result: Sized,
    seen: Section,
    middle: tuple[float, float],
    scale: float,
    numbers: dict[str, str] | None = None,
) -> None:
    """The circles of a section about a place on the sheet, each with its wire's name or number."""
    names = numbers or {disc.wire: disc.wire for disc in seen.wires}

    def at(disc: Disc) -> tuple[float, float, float]:
        x, y = disc.x - seen.middle[0], disc.y - seen.middle[1]
        return middle[0] + x * scale, middle[1] + y * scale, disc.r * scale

    canvas.circle(*middle, seen.radius * scale + 0.6, 0.5, class_="cover")
    for disc in seen.jackets:
        canvas.circle(*at(disc), 0.25, class_="jacket")
    for disc in seen.fillers:
        x, y, r = at(disc)
        canvas.circle(x, y, r, 0.18, class_="filler")
        canvas.line([(x - 0.7 * r, y + 0.7 * r), (x + 0.7 * r, y - 0.7 * r)], 0.18)
    for disc in seen.wires:
        x, y, r = at(disc)
        name, colour = names[disc.wire], result.harness.wires[disc.wire].colour
        _draw_disc(canvas, (x, y), r, name, colour, name == disc.wire)


def _head(canvas: Canvas, run: Run, piece: FinishedRun, units: Units, named: bool) -> None:
    room = canvas.width - 4
    title = say(
        "{harness} harness, fullest run: {a} to {b}",
        harness=run.harness,
        a=run.from_point,
        b=run.to_point,
    )
    canvas.text(2, 4.2, fitted(title, NORMAL_MM, room, True), NORMAL_MM, bold=True)
    size = say(
        "{n} wires, outside diameter {across} before the cover",
        n=len(piece.wires),
        across=units.across(piece.bare_mm),
    )
    canvas.text(2, 9.2, fitted(size, NORMAL_MM, room), NORMAL_MM, class_="diameter")
    if piece.lay_up:
        layers = piece.lay_up.layers
        said = zip(layers, lay_words(layers, units), strict=True)
        laid = "; ".join(f"{layer_title(layer.name)}: {words}" for layer, words in said)
    else:
        laid = say("laid side by side: places in the bundle are not prescribed")
    canvas.text(2, 13.4, fitted(laid, SMALL_MM, room), class_="lay")
    canvas.text(2, 17.4, fitted(_note(piece, named), SMALL_MM, room), colour=GREY)


def _note(piece: FinishedRun, named: bool) -> str:
    """What the circles mean, and their numbers where they have no names."""
    note = say("Diameters true")
    if any(len(strand.wires) > 1 for strand in piece.strands):
        note = "; ".join((note, say("thin circle: a cable")))
    if not named:
        note = ", ".join((note, say("numbers as in the key")))
    if len(piece.wires) > LISTED:
        told = say("number: colour and size in the key, every wire: cut list")
        note = f"{note}; {told}"
    return note


def lay_words(layers: Sequence[Layer], units: Units) -> list[str]:
    """A layer each: '1, 2.8 mm outside', '6 left, lay 58 mm, 2 fillers of 1.6 mm'.

    The last layer's outside is the bundle's, and said with it.
    """
    words = []
    for layer in layers:
        said = [_count_and_lay(layer, units)]
        if layer.bunched:
            said.append(say("bunched"))
        for width, count in sorted(Counter(layer.fillers_mm).items()):
            across = units.across(width)
            filled = say_n(
                "{n} filler of {across}", "{n} fillers of {across}", count, across=across
            )
            said.append(filled)
        if layer is not layers[-1]:
            said.append(say("{across} outside", across=units.across(layer.outside_mm)))
        words.append(", ".join(said))
    return words


def _count_and_lay(layer: Layer, units: Units) -> str:
    n, lay = len(layer.strands), units.along(layer.lay_mm)
    if layer.hand == "left":
        return say("{n} left, lay {length}", n=n, length=lay)
    if layer.hand:
        return say("{n} right, lay {length}", n=n, length=lay)
    return f"{n}"


def layer_title(name: str) -> str:
    """'core', 'layer 1', …, or 'straight outside', for the name of a layer."""
    if name == "core":
        return say("core", context="layer")
    return say("straight outside") if name == FLAT else say("layer {name}", name=name)


def _goes_in(text: str, size: float, r: float, named: bool) -> bool:
    """Whether a number is no wider than its wire; where wires are too thin for names, inside it.

    A number that is not written is told by the wire's colours and those of the key.
    """
    box = label_box(0.0, 0.0, text, size)
    return box.w <= 2 * r and (named or math.hypot(box.w, box.h) <= 2 * r)


def _draw_disc(
    canvas: Canvas, spot: tuple[float, float], r: float, text: str, colour: str, named: bool
) -> None:
    """A wire with its name on white, and its letters under that where they go in."""
    swatch(canvas, *spot, r, colour)
    size = NORMAL_MM if r >= 5 and text_width_mm(text, NORMAL_MM) <= 1.9 * r else SMALL_MM
    letters = r * 1.5 >= text_width_mm(colour, SMALL_MM) and r >= 4.2
    base = spot[1] + 0.36 * size - (1.5 if letters else 0)
    if _goes_in(text, size, r, named):
        canvas.text(spot[0], base, text, size, "middle", halo=True, class_="number")
    if letters:
        canvas.text(spot[0], base + 3.0, colour, SMALL_MM, "middle", halo=True)


def _key(canvas: Canvas, entries: tuple[Entry, ...], plan: Plan, named: bool) -> None:
    """Number or layer, wire (or how many), colour and size of every entry, in columns."""
    room = plan.rows * plan.columns
    shown = entries if len(entries) <= room else entries[: room - 1]
    for n, entry in enumerate(shown):
        x, y = plan.key_x + n // plan.rows * KEY_MM, plan.key_y + n % plan.rows * ROW_MM
        count = len(entry.wires)
        what = entry.wires[0] if count == 1 else say("{n} off", n=count)
        if not named or entry.layer:
            first = _layer_in_key(entry.layer) if named else str(n + 1)
            canvas.text(x + 5.4, y, first, anchor="end", bold=not named)
        swatch(canvas, x + 7.6, y - 0.95, 1.3, entry.colour, class_="key")
        canvas.text(x + 10, y, fitted(what, SMALL_MM, 9))
        canvas.text(x + 19.5, y, fitted(entry.colour, SMALL_MM, 9))
        canvas.text(x + 29, y, fitted(entry.size, SMALL_MM, KEY_MM - 30))
    if len(shown) < len(entries):
        x, y = plan.key_x + (plan.columns - 1) * KEY_MM, plan.key_y + (plan.rows - 1) * ROW_MM
        more = say("{n} more: see the cut list", n=len(entries) - len(shown))
        canvas.text(x + 2, y, more, bold=True)
    left, top = plan.key_x, plan.key_y - 3.5
    canvas.block(Box(left, top, canvas.width - left, plan.rows * ROW_MM))


def _layer_in_key(name: str) -> str:
    """'core', '1', '2', …, 'flat', in few letters."""
    if name == "core":
        return say("core", context="layer")
    return say("flat", context="layer") if name == FLAT else name


def sections(result: Sized) -> BySubject:
    """Harness -> section of its fullest run."""
    found = {h: fullest_run(result, h) for h in result.vehicle.description.rope}
    runs = {harness: run for harness, run in found.items() if run}
    return BySubject(runs, lambda harness: (section(result, runs[harness]),))
