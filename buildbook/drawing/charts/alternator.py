"""The alternator's output against engine speed, with what the loads take in every state."""

from __future__ import annotations

import math
from itertools import pairwise

from buildbook.checks.naming import first_up
from buildbook.checks.stages import Assessed
from buildbook.drawing.charts.axis import DARK, WIDTH_MM, ticks_to
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted
from buildbook.drawing.shared.sheet import figure
from buildbook.figures import current
from buildbook.words.say import in_figures, say

AREA = Box(14.0, 13.0, 96.0, 28.0)
KEY_X = 116.0
PITCH_MM = 4.6
MOST_STATES = 40
"""States that the key takes one below the other on a page."""


def alternator_chart(result: Assessed) -> Sheets:
    """The curve at the place's temperature, a numbered dot for every state that draws, a key.

    None for a vehicle without an alternator.
    """
    generator = result.vehicle.supply.generator
    if generator is None:
        return ()
    curve, called = generator.curve, say(generator.kind)
    title = first_up(say("{generator} against engine speed", generator=called))
    drawing = [b for b in result.supply.balances if b.demand_a > 0.05]
    states, further = drawing[:MOST_STATES], drawing[MOST_STATES:]
    fastest = max([rpm for rpm, _ in curve] + [b.engine_rpm for b in states])
    most = max([amps for _, amps in curve] + [b.demand_a for b in states if b.limit_a > 0])
    across, up = ticks_to(fastest), ticks_to(most)
    canvas = figure(
        WIDTH_MM,
        max(AREA.bottom + 8.5, 16 + PITCH_MM * len(states)),
        result.vehicle.description.vehicle,
        "alternator-curve",
        title,
        say("every state"),
    )
    canvas.left_out += [f"state {balance.state}" for balance in further]
    head = say("{generator}: what it can give, what each state takes", generator=first_up(called))
    canvas.text(2, 4.2, head, NORMAL_MM, bold=True)
    note = say(
        "line: output at the temperature of its place; dot: loads of a state, "
        "on the upper edge where beyond the scale; above the line the battery empties"
    )
    canvas.text(2, 8.6, fitted(note, SMALL_MM, WIDTH_MM - 4), colour=GREY)
    _grid(canvas, across, up)
    points = [_spot(rpm, amps, across, up) for rpm, amps in curve]
    points = [(points[0][0], AREA.bottom), *points, (AREA.right, points[-1][1])]
    canvas.line(points, 0.5, class_="curve")
    _keep_free(canvas, points)
    for balance in states:
        _dot(canvas, *_spot(balance.engine_rpm, balance.demand_a, across, up))
    for number, balance in enumerate(states, 1):
        _number(canvas, number, *_spot(balance.engine_rpm, balance.demand_a, across, up))
        y = AREA.y + 2 + PITCH_MM * (number - 1)
        figures = say(
            "{a} of {most_a}", a=current(balance.demand_a), most_a=current(balance.limit_a)
        )
        text = f"{number}  {balance.state}: {figures}"
        canvas.text(KEY_X, y, fitted(text, SMALL_MM, WIDTH_MM - KEY_X - 1))
    return (canvas.drawing("alternator-curve", title),)


def _spot(rpm: float, amps: float, across: list[float], up: list[float]) -> tuple[float, float]:
    """Place of a speed and a current; currents beyond the scale stand on its upper edge."""
    return (
        AREA.x + rpm / across[-1] * AREA.w,
        AREA.bottom - min(1.0, amps / up[-1]) * AREA.h,
    )


def _grid(canvas: Canvas, across: list[float], up: list[float]) -> None:
    for tick in across:
        x, _ = _spot(tick, 0, across, up)
        canvas.line([(x, AREA.y), (x, AREA.bottom)], 0.18, GREY)
        canvas.text(x, AREA.bottom + 3.4, in_figures(f"{tick:g}"), anchor="middle")
    for tick in up:
        _, y = _spot(0, tick, across, up)
        canvas.line([(AREA.x, y), (AREA.right, y)], 0.18, GREY)
        unit = " A" if tick == up[-1] else ""
        canvas.text(AREA.x - 1.5, y + 0.9, in_figures(f"{tick:g}{unit}"), anchor="end")
    canvas.text(AREA.right, AREA.bottom + 7.0, say("engine rpm"), anchor="end", colour=GREY)


def _keep_free(canvas: Canvas, points: list[tuple[float, float]]) -> None:
    """Keeps numbers off a line."""
    for (ax, ay), (bx, by) in pairwise(points):
        steps = math.ceil(math.hypot(bx - ax, by - ay) / 0.5) or 1
        for n in range(steps + 1):
            x, y = ax + (bx - ax) * n / steps, ay + (by - ay) * n / steps
            canvas.block(Box(x - 0.3, y - 0.3, 0.6, 0.6))


def _dot(canvas: Canvas, x: float, y: float) -> None:
    canvas.circle(x, y, 0.9, 0.25, fill=DARK, class_="state")
    canvas.block(Box(x - 1.0, y - 1.0, 2.0, 2.0))


def _number(canvas: Canvas, number: int, x: float, y: float) -> None:
    """A state's number at the nearest free place beside its dot."""
    reach = [(1.4, -1.0), (1.4, 2.9), (-3.2, -1.0), (-3.2, 2.9), (1.6, 0.9), (-3.4, 0.9)]
    far = [(1.4, 2.9 + 3.2 * n) for n in range(1, 12)]
    canvas.place(str(number), [(x + dx, y + dy) for dx, dy in reach + far], bold=True)
