"""Bus topology: every node along the line with real lengths, stubs, and what terminates it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.sheet import figure, part_title
from buildbook.figures import Units
from buildbook.harness.bus import BusLine, bus_line
from buildbook.sizing.stage import Sized
from buildbook.vehicle.bus import LONGEST_STUB_M, can_pairs, terminators
from buildbook.vehicle.model import Load
from buildbook.words.say import in_figures, say

WIDTH_MM = 170.0
SLOT_MM, ACROSS = 28.0, 6
"""Width of a place on the line, and how many stand side by side before the line folds."""
ROW_MM, TOP_MM = 36.5, 15.0
PAIR_MM = 1.6
"""Between the two wires as drawn."""
BOX_MM = (25.0, 12.6)
STUB_MM = 11.0
MOST_ROWS = 6


@dataclass(frozen=True)
class Bus:
    """A pair with its line, the stub of every device by the longer wire, and its resistors."""

    name: str
    high: str
    low: str
    line: BusLine
    stubs_m: dict[str, float]
    resistors: tuple[Load, ...]
    low_pins: dict[str, str]
    """Device -> name of its pin on the low wire."""

    @property
    def across_ohm(self) -> float | None:
        """All terminating resistors side by side; None without."""
        whole = fsum(1 / load.ohms for load in self.resistors)
        return 1 / whole if whole else None


@dataclass(frozen=True)
class Slot:
    """One place along the line as drawn."""

    node: str
    kind: str
    words: str
    """What lies between the place before and this one; '' within one stop."""
    pin: str
    """The pin that hangs here, '' for none."""
    stub_m: float | None
    """None where the pin lies on the line."""


def buses(result: Sized) -> tuple[Bus, ...]:
    """Every CAN pair of the vehicle, in the order of its cables."""
    found = []
    for name, high, low in can_pairs(result.vehicle):
        resistors = tuple(terminators(result.vehicle, high, low))
        ends = {load.device for load in resistors}
        lines = [bus_line(result.harness, circuit.id, ends) for circuit in (high, low)]
        devices = {stub.pin.rsplit(".", 1)[0] for stop in lines[0].stops for stub in stop.stubs}
        stubs = {d: max(line.stub_m(d) or 0.0 for line in lines) for d in sorted(devices)}
        found.append(
            Bus(
                name,
                high.id,
                low.id,
                lines[0],
                stubs,
                resistors,
                {pin.device: pin.name for pin in low.pins},
            )
        )
    return tuple(found)


def bus_maps(result: Sized) -> dict[str, tuple[Drawing, ...]]:
    """System of its high wire -> a drawing of each bus, of a long one several."""
    found: dict[str, tuple[Drawing, ...]] = {}
    for n, bus in enumerate(buses(result), 1):
        system = result.vehicle.circuits[bus.high].system
        found[system] = (*found.get(system, ()), *_maps(result, bus, n))
    return found


def slots_of(bus: Bus, units: Units) -> list[Slot]:
    """Places along the line, one for every device that hangs at a stop."""
    slots = []
    for n, stop in enumerate(bus.line.stops):
        words = units.reel(stop.from_last_m) if n else ""
        hung: list[tuple[str, float | None]] = [
            (stub.pin, bus.stubs_m[stub.pin.rsplit(".", 1)[0]]) for stub in stop.stubs
        ]
        if stop.kind == "pin":
            hung.insert(0, (stop.node, None))
        for pin, stub_m in hung or [("", None)]:
            slots.append(Slot(stop.node, stop.kind, words, pin, stub_m))
            words = ""
    return slots


def _maps(result: Sized, bus: Bus, number: int) -> list[Drawing]:
    slots = slots_of(bus, result.vehicle.measures)
    rows = [slots[n : n + ACROSS] for n in range(0, len(slots), ACROSS)]
    parts = [rows[n : n + MOST_ROWS] for n in range(0, len(rows), MOST_ROWS)]
    return [
        _map(result, bus, part, f"bus-{number}" + (f"-{n}" if n > 1 else ""), n, len(parts))
        for n, part in enumerate(parts, 1)
    ]


def _map(
    result: Sized, bus: Bus, rows: list[list[Slot]], name: str, part: int, parts: int
) -> Drawing:
    title = part_title(say("Bus topology: {bus}", bus=bus.name), part, parts)
    units = result.vehicle.measures
    canvas = figure(
        WIDTH_MM, TOP_MM + ROW_MM * len(rows), result.vehicle.description.vehicle, name, title
    )
    canvas.text(2, 4.2, fitted(title, NORMAL_MM, WIDTH_MM - 4, True), NORMAL_MM, bold=True)
    canvas.text(2, 8.4, fitted(summary(bus, units), SMALL_MM, WIDTH_MM - 4))
    note = say(
        "Along the line: wire as cut, high wire; stub: the longer of both wires, at most "
        "{length} at 1 Mbit/s. Not to scale.",
        length=units.reel(LONGEST_STUB_M, 1),
    )
    canvas.text(2, 12.0, fitted(note, SMALL_MM, WIDTH_MM - 4), colour=GREY)
    for n, row in enumerate(rows):
        before = part > 1 or n > 0
        after = part < parts or n < len(rows) - 1
        _row(canvas, bus, units, row, TOP_MM + ROW_MM * n + 7.0, before, after)
    return canvas.drawing(name, title)


def summary(bus: Bus, units: Units) -> str:
    """Length from end to end, and what a meter reads across the pair."""
    across = bus.across_ohm
    ends = ", ".join(f"{load.device} {in_figures(f'{load.ohms:g}')} Ω" for load in bus.resistors)
    said = say(
        "Line {length} from end to end; terminated at: {ends}",
        length=units.reel(bus.line.length_m),
        ends=ends or say("none", context="ends of a bus"),
    )
    if not across:
        return said
    reads = say("meter across the pair, battery off: {ohms:.0f} Ω", ohms=across)
    return f"{said}; {reads}"


def _row(
    canvas: Canvas,
    bus: Bus,
    units: Units,
    row: Sequence[Slot],
    y: float,
    before: bool,
    after: bool,
) -> None:
    """Some places side by side; arrows where the line comes from or goes on."""
    left = (WIDTH_MM - SLOT_MM * len(row)) / 2
    first, last = left + SLOT_MM / 2, left + SLOT_MM * (len(row) - 0.5)
    start, end = first - (12 if before else PAIR_MM / 2), last + (12 if after else PAIR_MM / 2)
    for dy in (0.0, PAIR_MM):
        canvas.line([(start, y + dy), (end, y + dy)], 0.5, class_="line")
    for x in ([start] if before else []) + ([end] if after else []):
        canvas.line(
            [(x - 1.2, y - 1.2), (x + 0.8, y + PAIR_MM / 2), (x - 1.2, y + PAIR_MM + 1.2)],
            0.35,
            class_="goes-on",
        )
    for n, slot in enumerate(row):
        x = left + SLOT_MM * (n + 0.5)
        if slot.words:
            beside = x - SLOT_MM / 2 if n else x - 9
            canvas.text(beside, y - 1.6, slot.words, anchor="middle", class_="along")
        _slot(canvas, bus, units, slot, x, y)


def _slot(canvas: Canvas, bus: Bus, units: Units, slot: Slot, x: float, y: float) -> None:
    if slot.kind != "pin":
        for dy, dx in ((0.0, -PAIR_MM / 2), (PAIR_MM, PAIR_MM / 2)):
            canvas.circle(x + dx, y + dy, 0.6, fill="#000000", class_="joint")
        canvas.text(x, y - 1.6, fitted(slot.node, SMALL_MM, 11, True), anchor="middle", bold=True)
    if not slot.pin:
        return
    top = y + (5.0 if slot.stub_m is None else STUB_MM)
    for dy, dx in ((0.0, -PAIR_MM / 2), (PAIR_MM, PAIR_MM / 2)):
        canvas.line([(x + dx, y + dy), (x + dx, top)], 0.5, class_="stub")
    if slot.stub_m is not None:
        long = slot.stub_m > LONGEST_STUB_M
        canvas.text(x + 2.2, y + 6.0, units.reel(slot.stub_m), bold=long, class_="stub-length")
        if long:
            canvas.text(x + 2.2, y + 9.4, say("too long"), bold=True)
    _device(canvas, bus, slot.pin, Box(x - BOX_MM[0] / 2, top, *BOX_MM))


def _device(canvas: Canvas, bus: Bus, pin: str, box: Box) -> None:
    """Name, pins of both wires, and the resistor where one closes the line."""
    device, name = pin.rsplit(".", 1)
    ohms = [load.ohms for load in bus.resistors if load.device == device]
    canvas.rect(box, 0.5, fill="#ffffff", class_="node")
    wide, middle = box.w - 2, box.x + box.w / 2
    low = bus.low_pins.get(device, "–")
    lines = [(device, True), (say("high {high}, low {low}", high=name, low=low), False)]
    lines += [(say("{ohms:g} Ω across", ohms=ohm), True) for ohm in ohms[:1]]
    for n, (line, bold) in enumerate(lines):
        canvas.text(
            middle,
            box.y + 3.6 + n * 3.5,
            fitted(line, SMALL_MM, wide, bold),
            anchor="middle",
            bold=bold,
        )
    if ohms:
        canvas.rect(Box(middle - 4, box.bottom + 0.8, 8, 2.2), 0.35, class_="resistor")
        canvas.line(
            [
                (middle - 4, box.bottom + 1.9),
                (middle - 6, box.bottom + 1.9),
                (middle - 6, box.bottom),
            ],
            0.35,
        )
        canvas.line(
            [
                (middle + 4, box.bottom + 1.9),
                (middle + 6, box.bottom + 1.9),
                (middle + 6, box.bottom),
            ],
            0.35,
        )
