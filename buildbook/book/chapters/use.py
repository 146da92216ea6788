"""How to use this book, and cautions."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.dangers import dangers_of
from buildbook.book.drawings import Drawings
from buildbook.catalogue.load import colours
from buildbook.result import Result
from buildbook.words.say import say


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    used = {part for wire in result.harness.wires.values() for part in wire.colour.split("/")}
    names = [(code, row[0]) for code, row in colours().items() if code in used]
    first = next(iter(result.harness.wires.values()), None)
    context = {
        "dangers": dangers_of(result.vehicle),
        "colours": names,
        "example": first,
        "states": result.vehicle.description.states,
        "later": [d for d in result.vehicle.devices.values() if d.written.fitted == "later"],
    }
    return (Chapter("use", say("How to use this book, and cautions"), "use.html", context),)
