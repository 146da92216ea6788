"""What is written beside a device: its name, title and system, when its contacts are closed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from math import isclose

from buildbook.description.expand.kinds import said_use
from buildbook.drawing.schematic.element import (
    LINE_SPACING_MM,
    Element,
    InnerSymbol,
)
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.lettering import SMALL_MM, both_ends, fitted, wrapped
from buildbook.figures import significant
from buildbook.vehicle.model import Contact, Device, Load
from buildbook.words.say import say

CAPTION_MM = 21.0
WIDE_MM = 27.0
MOST_CLOSINGS = 3
"""More contacts than these would make the caption taller than the symbols."""
MOST_RESISTORS = 6
"""Said beside one block."""


def caption_of(
    words: str, detail: str, elsewhere: str, more: tuple[str, ...] = ()
) -> tuple[str, ...]:
    """A device's name in at most two lines, its title in three, its system, and more."""
    lines = _name(words)
    if detail and detail.lower().replace(" ", "-") != words.lower():
        lines += _in_lines(detail)
    if elsewhere:
        lines.append(fitted(f"({elsewhere})", SMALL_MM, CAPTION_MM))
    return (*lines, *in_caption(more))


def in_caption(more: tuple[str, ...]) -> tuple[str, ...]:
    """Lines below a device's title, each in two where it is too long."""
    return tuple(part for line in more for part in wrapped(line, SMALL_MM, WIDE_MM, 2))


def _in_lines(words: str) -> list[str]:
    """Two lines of a caption's width; where that is too little wider ones, and then more."""
    for width, lines in ((CAPTION_MM, 2), (WIDE_MM, 2)):
        found = wrapped(words, SMALL_MM, width, lines)
        if "…" not in found[-1]:
            return found
    return wrapped(words, SMALL_MM, WIDE_MM, 3)


def not_fitted(device: Device) -> tuple[str, ...]:
    """That a device is not there yet, as tables have it: its wires end in caps."""
    return (say("not fitted yet"),) if device.written.fitted == "later" else ()


def closings(device: Device, inside: list[InnerSymbol]) -> tuple[str, ...]:
    """When each contact of a switch that is drawn here is closed; with several, by its pins."""
    drawn = {part.id for part in inside}
    contacts = [c for c in device.contacts if c.id in drawn and c.position]
    if device.kind != "switch" or len(contacts) > MOST_CLOSINGS:
        return ()
    if len(contacts) == 1:
        return (say("closed: {position}", position=contacts[0].position),)
    names = {pin.id: pin.name for pin in device.pins}
    return tuple(f"{names[c.from_pin]}-{names[c.to_pin]}: {c.position}" for c in contacts)


def load_uses(device: Device, inside: list[InnerSymbol]) -> tuple[str, ...]:
    """What each drawn load is for in a device that has more, by the pin it has to itself."""
    parts: list[Load | Contact] = [*device.loads, *device.contacts]
    met = Counter(pin for part in parts for pin in (part.from_pin, part.to_pin))
    loads, pins = {load.id for load in device.loads}, {pin.id: pin for pin in device.pins}
    own = (
        [p for p in (part.top, part.bottom) if met[p] == 1 and pins[p].use]
        for part in inside
        if part.id in loads
    )
    uses = [f"{pins[mine[0]].name}: {said_use(pins[mine[0]].use)}" for mine in own if mine]
    is_plain = device.kind not in ("relay", "battery", "alternator") and len(parts) > 1
    return tuple(uses) if is_plain and len(uses) <= MOST_CLOSINGS else ()


def resistors_inside(device: Device, pins: Collection[str]) -> tuple[str, ...]:
    """Resistors in a controller or display, by their pins: what ends a data bus, a pull-down.

    Each where the first of its pins is drawn: a block has no symbols, and a meter finds them.
    """
    stated = [draw.ohms for draw in device.written.draws if draw.ohms]
    lines = [
        _across(device, load)
        for load in device.loads
        if load.from_pin in pins and any(isclose(load.ohms, ohms) for ohms in stated)
    ]
    more = len(lines) - MOST_RESISTORS
    return tuple(lines if more <= 0 else [*lines[:-more], say("{n} more", n=more)])


def loads_left_out(device: Device, drawn: Collection[str]) -> tuple[str, ...]:
    """Loads for which a symbol has no place among the others of a device, by their pins."""
    return tuple(_across(device, load) for load in device.loads if load.id not in drawn)


def _across(device: Device, load: Load) -> str:
    names = {pin.id: pin.name for pin in device.pins}
    pins = f"{names[load.from_pin]}-{names[load.to_pin]}"
    if load.ohms < 1000:
        return say("{pins}: {ohms} Ω inside", pins=pins, ohms=significant(load.ohms, 3))
    return say("{pins}: {ohms} kΩ inside", pins=pins, ohms=significant(load.ohms / 1000, 3))


def _name(words: str) -> list[str]:
    """A device's name in one or two lines, cut in its middle where it is longer."""
    lines = wrapped(words, SMALL_MM, CAPTION_MM, 2, bold=True)
    if "…" not in "".join(lines):
        return lines
    first = lines[0] if lines[0].endswith("-") else ""
    rest = both_ends(words.removeprefix(first), SMALL_MM, CAPTION_MM, bold=True)
    return [first, rest] if first else [rest]


def name_line_count(caption: tuple[str, ...]) -> int:
    """Lines of the name, which is bold and breaks at its hyphens."""
    return next((n for n, line in enumerate(caption, 1) if not line.endswith("-")), 1)


def write_caption(canvas: Canvas, element: Element, x: float, y: float, anchor: str) -> None:
    names = name_line_count(element.caption)
    for n, line in enumerate(element.caption):
        canvas.text(
            x, y + 2.3 + n * LINE_SPACING_MM, line, SMALL_MM, anchor, n < names, class_="name"
        )
