"""The sheet of ropes: what to lay in the car and read off, with blanks to write in."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.description.rope_readings import rope_readings, straight_m
from buildbook.result import Result
from buildbook.words.say import say


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    description = result.vehicle.description
    by_points = {(run.harness, run.from_point, run.to_point): run for run in result.vehicle.runs}
    found: dict[str, list[tuple[object, ...]]] = {}
    for reading in rope_readings(description):
        run = by_points.get((reading.harness, reading.from_point, reading.to_point))
        piece = result.finished_runs.get(run.id) if run else None
        straight = straight_m(reading, description.plan)
        row = (reading, piece.rope_mm if piece else None, run.zone if run else "", straight)
        found.setdefault(reading.harness, []).append(row)
    context = {"harnesses": found, "titles": {n: h.title or n for n, h in description.rope.items()}}
    return (Chapter("ropes", say("Ropes to lay and measure"), "ropes.html", context),)
