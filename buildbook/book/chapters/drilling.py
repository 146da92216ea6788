"""The bulkheads to drill: holes at full size, and where on the wall each of them is."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.bench.drilling import DrilledWall, DrillHole, drilled_walls
from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.drawing.faces.face import side_in
from buildbook.result import Result
from buildbook.vehicle.model import Run
from buildbook.words.say import mark, say

KEY_SIDES = {
    "top": mark("key at the top"),
    "bottom": mark("key at the bottom"),
    "left": mark("key at the left"),
    "right": mark("key at the right"),
}


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    """Every wall in which there is a hole; no chapter where there is none."""
    return _chapter(result, drawings, drilled_walls(result))


def of_harness(result: Result, drawings: Drawings, harness: str) -> tuple[Chapter, ...]:
    """The walls that one harness passes."""
    walls = [wall for wall in drilled_walls(result) if harness in wall.harnesses]
    return _chapter(result, drawings, walls)


def _chapter(
    result: Result, drawings: Drawings, walls: Sequence[DrilledWall]
) -> tuple[Chapter, ...]:
    if not walls:
        return ()
    shown = [(wall, drawings.of("drilling", wall.name)) for wall in walls]
    units = result.vehicle.measures
    context = {
        "walls": shown,
        "back": lambda wall: units.along(1000 * wall.written.at),
        "what": lambda hole: what_passes(result, hole),
        "past": lambda wall: [_thick(result, run) for run in wall.past],
    }
    flat = tuple(drawing for _, sheets in shown for drawing in sheets)
    return (Chapter("drilling", say("Bulkheads to drill"), "drilling.html", context, flat),)


def what_passes(result: Result, hole: DrillHole) -> str:
    """What a hole is for, beside its name: 'Engine bulkhead connector; key at the top'."""
    if hole.through is not None:
        title = result.vehicle.devices[hole.name].title
        title = "" if title == hole.name else title
        turned = hole.near is not None and hole.near.turned
        side = side_in(hole.through.plug.keyway, turned)
        return "; ".join(word for word in (title, say(KEY_SIDES[side])) if word)
    titles = result.vehicle.description.rope
    return ", ".join(titles[name].title or name for name in hole.harnesses)


def _thick(result: Result, run: Run) -> tuple[Run, float | None]:
    """A run, and how thick it is as finished."""
    piece = result.finished_runs.get(run.id)
    return run, piece.outside_mm if piece else None
