"""Terminals that are in no connector, and connectors that no harness has a wire in."""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.pin_rows import PinRow, stud_rows
from buildbook.book.shown_states import shown_states
from buildbook.book.templates import UNBROKEN
from buildbook.drawing.shared.model import Drawing
from buildbook.result import Result
from buildbook.vehicle.model import Connector, Device
from buildbook.words.say import say

LETTER_PERCENT = 0.66
"""Of the width of a page of text, of a letter in the names of pins."""

HEAD_PERCENT = 0.77
"""The same of a letter in the head of a column, with the space after the head."""

SHORT = 10
"""Letters that a name of a pin has room for at least."""

Bare = list[tuple[Connector, Drawing | None]]
"""Connectors without a wire, with their faces."""


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    wired = {
        end.connector
        for wire in result.harness.wires.values()
        for end in (wire.a, wire.b)
        if end.connector
    }
    bare = [
        (connector, drawings.first("faces", connector.id))
        for connector in result.harness.connectors.values()
        if connector.id not in wired
    ]
    return _chapter(result, bare, result.vehicle.devices.values())


def of_harness(result: Result, harness: str) -> tuple[Chapter, ...]:
    """The terminals that the wires of one harness go to; none where all go into connectors."""
    wires = [wire for wire in result.harness.wires.values() if wire.harness == harness]
    ends = [end for wire in wires for end in (wire.a, wire.b)]
    posts = {end.node.rsplit(".", 1)[0] for end in ends if end.contact and not end.connector}
    return _chapter(result, [], [d for d in result.vehicle.devices.values() if d.id in posts])


def _chapter(result: Result, bare: Bare, devices: Iterable[Device]) -> tuple[Chapter, ...]:
    studs: list[tuple[Device, list[PinRow]]] = [
        (device, rows) for device in devices if (rows := stud_rows(result, device))
    ]
    if not studs and not bare:
        return ()
    states = shown_states(result)
    longest = max((len(row.pin.id) for _, rows in studs for row in rows), default=0)
    pin = 2 + LETTER_PERCENT * min(max(longest, SHORT), UNBROKEN)
    terminal = max(7.5, HEAD_PERCENT * len(say("Terminal")))
    widths = (12, pin, 24 - terminal, terminal, 32 - pin, *(6.2 for _ in states))
    context = {"bare": bare, "studs": studs, "states": states, "widths": widths}
    shown = tuple(face for _, face in bare if face)
    title = say("Terminals that are not in connectors")
    return (Chapter("faces", title, "faces.html", context, shown),)
