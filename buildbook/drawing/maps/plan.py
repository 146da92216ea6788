"""Where things are: the vehicle from above in outline, with numbered places and their key."""

from __future__ import annotations

import math
from dataclasses import dataclass

from buildbook.description import models as written
from buildbook.drawing.maps.outline import Outline, Segment, draw_vehicle, edges
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.clear import Point, crosses
from buildbook.drawing.shared.lettering import SMALL_MM, fitted, label_box, wrapped
from buildbook.drawing.shared.model import SHEET_MM, Drawing
from buildbook.drawing.shared.scales import scales_from
from buildbook.drawing.shared.sheet import Title, frame
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Device
from buildbook.words.say import in_figures, mark, say, say_n

SCALES = (5, 8, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200)
TOP_MM, KEY_END_MM = 10.5, 153.5
"""Where the vehicle's outline may begin, and the last line of the key."""
PLAN_MM = 72.0
"""Kept for the vehicle where the key is too long for one sheet; else it has what the key leaves."""
NOTE = mark(
    "From above, nose left. Dot: device; ring: capped wires; square: panel; triangle: ground; "
    "diamond: pass-through; grey: rope. Key: point, what is there, {short} up; –: no place given."
)
KEY_GAP_MM = 3.8
"""From the vehicle's outline to the first line of the key."""
ROW_MM, COLUMNS = 3.4, 4
KEY_MM = 57.0
"""Width of a row's words in the key."""
MARKS = {"panel": "panel", "pass-through": "pass-through", "ground": "ground"}
STEP_MM = 2.2
"""Between the marks of one place."""
REACHES_MM = (2.8, 3.6, 4.6, 6, 8, 10, 12.5, 15, 18, 22, 26, 31, 37, 44, 52)
"""From a place to its number, nearest tried first."""
TURNS = 72
"""Directions tried at each reach, so that a leader finds its way between close places."""

APART_MM = 0.6
"""Kept beside a number, and as much beside the next: more than a space."""
LINE_MM = 0.3
"""Kept between a number and the middle of a line beside it."""


@dataclass(frozen=True)
class Place:
    """A point of the rope with something at it, and where it lies on paper."""

    number: int
    name: str
    x: float
    y: float
    marks: tuple[str, ...]


def what_is_there(devices: list[Device]) -> str:
    """Names of the devices; what a panel carries only counted."""
    carried = [d for d in devices if d.panel]
    names = [d.id for d in devices if not d.panel]
    fuses, relays = (sum(d.kind == kind for d in carried) for kind in ("fuse", "relay"))
    names += [say_n("{n} fuse", "{n} fuses", fuses)] if fuses else []
    names += [say_n("{n} relay", "{n} relays", relays)] if relays else []
    return ", ".join(names)


def plans(result: Sized) -> tuple[Drawing, ...]:
    """The plan and, where the key does not go on its sheet, more sheets of key; none unasked."""
    plan = result.vehicle.description.plan
    if plan is None:
        return ()
    held: dict[str, list[Device]] = {}
    for device in result.vehicle.devices.values():
        held.setdefault(device.point, []).append(device)
    for name in capped_points(result):
        held.setdefault(name, [])
    known = sorted((n for n in plan.places if n in held), key=lambda n: (*plan.places[n][:2], n))
    missing = sorted(name for name in held if name and name not in plan.places)
    rows = [
        row
        for number, n in enumerate(known, 1)
        for row in _key_rows(str(number), n, _said(result, plan, n, held[n]))
    ]
    rows += [row for n in missing for row in _key_rows("–", n, _held(result, n, held[n]))]
    deep = max(PLAN_MM, KEY_END_MM - KEY_GAP_MM - TOP_MM - _key_height(len(rows)))
    outline = _fitted(plan, deep)
    places = [
        _place(result, number, name, held[name], outline.place(name))
        for number, name in enumerate(known, 1)
    ]
    below = TOP_MM + deep + KEY_GAP_MM
    first = int((KEY_END_MM - below) / ROW_MM + 1 + 1e-6) * COLUMNS
    later = int((SHEET_MM[1] - 40) // ROW_MM) * COLUMNS
    parts = [rows[:first], *(rows[n : n + later] for n in range(first, len(rows), later))]
    return tuple(
        _plan_sheet(result, part, len(parts), places, outline, below)
        if n == 1
        else _key_sheet(result, part, n, len(parts))
        for n, part in enumerate(parts, 1)
    )


def _fitted(plan: written.Plan, deep_mm: float) -> Outline:
    """The vehicle at the largest scale that goes on the sheet."""
    scale = next(
        s
        for s in scales_from(SCALES)
        if plan.length * 1000 / s <= SHEET_MM[0] - 30 and plan.width * 1000 / s <= deep_mm
    )
    nose = ((SHEET_MM[0] - plan.length * 1000 / scale) / 2, TOP_MM + deep_mm / 2)
    return Outline(plan, nose, scale)


def _key_height(rows: int) -> float:
    """From the first line of the key to its last."""
    return (math.ceil(rows / COLUMNS) - 1) * ROW_MM


def capped_points(result: Sized) -> frozenset[str]:
    """Points at which wires end in caps, for what comes later; a screen ends at its sensor."""
    screens = {cable.screen for cable in result.vehicle.description.cables.values()}
    wires = (w for w in result.harness.wires.values() if w.circuit not in screens)
    ends = (end for wire in wires for end in (wire.a, wire.b))
    return frozenset(end.point for end in ends if end.kind == "capped")


def _held(result: Sized, name: str, devices: list[Device]) -> str:
    """What is at a point, its capped wires included."""
    capped = [say("capped wires")] if name in capped_points(result) else []
    return ", ".join(filter(None, (what_is_there(devices), *capped)))


def _said(result: Sized, plan: written.Plan, name: str, devices: list[Device]) -> str:
    """What is at a place, and how high it is."""
    height = plan.places[name][2:]
    words = _held(result, name, devices)
    if not height:
        return words
    high = result.vehicle.measures.bare_m(height[0])
    return say("{devices}, {length} up", devices=words, length=high)


def _key_rows(number: str, name: str, words: str) -> list[tuple[str, str]]:
    """A place's rows of the key; a name that its only device shares is said once."""
    said = words if words.split(",")[0] == name else f"{name}: {words}"
    first, *more = wrapped(said, SMALL_MM, KEY_MM)
    return [(number, first), *(("", line) for line in more)]


def _place(result: Sized, number: int, name: str, devices: list[Device], spot: Point) -> Place:
    marks = {MARKS.get(d.kind, "device") for d in devices if not d.panel}
    if name in capped_points(result):
        marks.add("capped")
    return Place(number, name, *spot, tuple(sorted(marks)) or ("device",))


def _framed(result: Sized, number: int, sheets: int, scale: str) -> tuple[Canvas, Title, Box]:
    """A framed sheet, its title, and what is left to draw in."""
    vehicle = result.vehicle.description.vehicle
    canvas = Canvas(*SHEET_MM)
    title = Title(
        vehicle.name,
        say("Where things are") if number == 1 else say("Where things are: key"),
        say("whole vehicle"),
        vehicle.revision,
        str(vehicle.date),
        number,
        sheets,
        name="plan" if number == 1 else f"plan-{number}",
        scale=scale,
    )
    return canvas, title, frame(canvas, title)


def _plan_sheet(
    result: Sized,
    rows: list[tuple[str, str]],
    sheets: int,
    places: list[Place],
    outline: Outline,
    below: float,
) -> Drawing:
    """The plan with the first of the key."""
    scale = in_figures(f"1:{outline.scale:g}") if places else ""
    canvas, title, inner = _framed(result, 1, sheets, scale)
    draw_vehicle(canvas, outline)
    lines = edges(outline) + draw_rope(canvas, result, outline)
    canvas.block(Box(0, below - 3.0, canvas.width, canvas.height))
    canvas.block(Box(0, 0, canvas.width, inner.y))
    crowded = _numbers(canvas, places, lines)
    _key(canvas, inner, rows, below)
    note = say(NOTE, short=result.vehicle.measures.short)
    if crowded:
        note = say(
            "{n} numbers of the key found no room on the plan. {note}", n=len(crowded), note=note
        )
        canvas.left_out += [f"number {number}" for number in crowded]
    canvas.text(inner.x, inner.bottom, fitted(note, SMALL_MM, inner.w), colour=GREY)
    return canvas.drawing(title.name, title.title)


def _key_sheet(result: Sized, rows: list[tuple[str, str]], number: int, sheets: int) -> Drawing:
    """More of the key."""
    canvas, title, inner = _framed(result, number, sheets, "")
    _key(canvas, inner, rows, inner.y + 4)
    note = say(NOTE, short=result.vehicle.measures.short)
    canvas.text(inner.x, inner.bottom, fitted(note, SMALL_MM, inner.w), colour=GREY)
    return canvas.drawing(title.name, title.title)


def draw_rope(canvas: Canvas, result: Sized, outline: Outline) -> list[Segment]:
    """Every run whose ends have places, straight; returns the lines."""
    there = outline.plan.places
    lines = [
        (outline.place(r.from_point), outline.place(r.to_point))
        for r in result.vehicle.runs
        if r.from_point in there and r.to_point in there
    ]
    for line in lines:
        canvas.line(line, 0.35, "#888888", class_="rope")
    return lines


def _numbers(canvas: Canvas, places: list[Place], lines: list[Segment]) -> list[int]:
    """Marks, then each number at the nearest clear spot; returns those that found none."""
    for place in places:
        for shape, box in zip(place.marks, _mark_boxes(place), strict=True):
            draw_mark(canvas, box.x + box.w / 2, place.y, shape)
            canvas.block(box)
    lines, crowded = list(lines), []
    numbers: list[Box] = []
    for place in places:
        own = _mark_boxes(place)
        strict = [box for box in canvas.taken if box not in own]
        spot = _spot(canvas, place, lines, strict) or _spot(canvas, place, lines, numbers)
        if spot is None:
            crowded.append(place.number)
            continue
        x, y = spot
        box = canvas.text(x, y + 0.93, str(place.number), anchor="middle", bold=True)
        numbers.append(box)
        if math.hypot(x - place.x, y - place.y) > 4:
            leader = (_start(place, spot), _short_of((place.x, place.y), spot, box))
            canvas.line(leader, 0.18, class_="leader")
            lines.append(leader)
    return crowded


def _spot(canvas: Canvas, place: Place, lines: list[Segment], kept: list[Box]) -> Point | None:
    """Nearest free spot that no line crosses, and whose leader crosses nothing that is kept."""
    for reach in REACHES_MM:
        for turn in range(TURNS):
            x = place.x + reach * math.cos(turn * 2 * math.pi / TURNS)
            y = place.y + reach * math.sin(turn * 2 * math.pi / TURNS)
            box = label_box(x, y + 0.93, str(place.number), SMALL_MM, "middle", True)
            clear = Box(box.x - LINE_MM, box.y, box.w + 2 * LINE_MM, box.h)
            if (
                canvas.is_free(Box(box.x - APART_MM, box.y, box.w + 2 * APART_MM, box.h), 0.2)
                and not any(crosses(a, b, clear) for a, b in lines)
                and not any(crosses((place.x, place.y), (x, y), other) for other in kept)
            ):
                return x, y
    return None


def _mark_boxes(place: Place) -> list[Box]:
    """Room of the marks that stand side by side at a place."""
    left = place.x - STEP_MM * (len(place.marks) - 1) / 2
    return [Box(left + STEP_MM * n - 1.1, place.y - 1.1, 2.2, 2.2) for n in range(len(place.marks))]


def _start(place: Place, spot: Point) -> Point:
    """Where the leader to a number begins: in a single mark, outside of several side by side."""
    first, *others = _mark_boxes(place)
    if not others:
        return place.x, place.y
    whole = Box(first.x, first.y, others[-1].right - first.x, first.h)
    return _short_of(spot, (place.x, place.y), whole)


def _short_of(a: Point, b: Point, box: Box) -> Point:
    """The last point from a towards b, in steps of a fortieth, that keeps out of the box."""
    clear = Box(box.x - 0.3, box.y - 0.3, box.w + 0.6, box.h + 0.6)
    ends = [
        (a[0] + (b[0] - a[0]) * n / 40, a[1] + (b[1] - a[1]) * n / 40) for n in range(40, -1, -1)
    ]
    return next((end for end in ends if not crosses(a, end, clear)), a)


def draw_mark(canvas: Canvas, x: float, y: float, mark: str) -> None:
    r = 0.9
    shapes = {
        "ground": f"M {x - r:.2f} {y - r:.2f} H {x + r:.2f} L {x:.2f} {y + r:.2f} Z",
        "pass-through": f"M {x:.2f} {y - r:.2f} L {x + r:.2f} {y:.2f} L {x:.2f} {y + r:.2f} "
        f"L {x - r:.2f} {y:.2f} Z",
    }
    if mark == "capped":
        canvas.circle(x, y, 0.8, 0.25, fill="#ffffff", class_="mark")
    elif mark == "device":
        canvas.circle(x, y, 0.7, 0.18, fill="#000000", class_="mark")
    elif mark == "panel":
        canvas.rect(Box(x - r, y - r, 2 * r, 2 * r), 0.25, fill="#000000", class_="mark")
    else:
        canvas.path(shapes[mark], 0.25, fill="#ffffff", class_="mark")


def _key(canvas: Canvas, inner: Box, rows: list[tuple[str, str]], top: float) -> None:
    """Columns of numbers with what each stands for."""
    down = max(1, math.ceil(len(rows) / COLUMNS))
    wide = inner.w / COLUMNS
    for n, (number, words) in enumerate(rows):
        x, y = inner.x + n // down * wide, top + n % down * ROW_MM
        if number:
            canvas.text(x + 5, y, number, anchor="end", bold=True)
        canvas.text(x + 6.2, y, words)
