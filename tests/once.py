"""What several tests read of one vehicle, made once in a process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import wraps
from typing import TypeVar

from buildbook.book.drawings import Drawings
from buildbook.drawing.registry import KINDS
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.faultfinding.sweep import Sweep, sweep
from buildbook.result import Result

Made = TypeVar("Made")


def once(make: Callable[[Result], Made]) -> Callable[[Result], Made]:
    """`make` of a Result, and that same again when asked again: a Result is never altered."""
    made: dict[int, tuple[Result, Made]] = {}

    @wraps(make)
    def found(result: Result) -> Made:
        if id(result) not in made:
            made[id(result)] = result, make(result)
        return made[id(result)][1]

    return found


drawings_of = once(Drawings)


def schematics_in(drawings: Drawings, result: Result) -> dict[str, Sheets]:
    """The schematics among a vehicle's drawings, by system; systems without wires have none."""
    systems = result.vehicle.description.systems
    return {s: sheets for s in systems if (sheets := drawings.of("schematics", s))}


@once
def schematics_of(result: Result) -> dict[str, Sheets]:
    """The vehicle's schematics by system, the same sheets as its other drawings' readers have."""
    return schematics_in(drawings_of(result), result)


def undrawn(result: Result) -> Drawings:
    """Drawings without one sheet, for what is read of a chapter's words alone."""
    return Drawings(result, [replace(kind, draw=lambda _result: {}) for kind in KINDS])


@once
def swept_of(result: Result) -> Sweep:
    """The vehicle with every fault in turn."""
    return sweep(result.vehicle, result.harness, result.sizing, result.solved)
