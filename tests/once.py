"""What several tests read of one vehicle, made once in a process."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from buildbook.book.drawings import draw_all
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


drawings_of = once(draw_all)


@once
def swept_of(result: Result) -> Sweep:
    """The vehicle with every fault in turn."""
    return sweep(result.vehicle, result.harness, result.sizing, result.solved)
