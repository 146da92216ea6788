"""Cost chart: what each kind of part, system and harness costs, to one scale."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from math import fsum

from buildbook.drawing.charts.axis import DARK, WIDTH_MM, draw_axis, ticks_to
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted
from buildbook.drawing.shared.sheet import figure
from buildbook.parts.cost_shares import LOOSE
from buildbook.result import Priced
from buildbook.words.say import in_figures, say

MOST_COSTS = 14
"""Rows of one group in the picture of costs."""


def cost_chart(result: Priced) -> Sheets:
    """Cost by kind of part, by system and by harness to one scale, before tax and carriage."""
    bill = result.bill
    titles = {key: system.title for key, system in result.vehicle.description.systems.items()}
    systems = {
        titles[key] if key in titles else say(key): cost for key, cost in bill.by_system.items()
    }
    harnesses = {_harness(key): cost for key, cost in bill.by_harness.items()}
    groups = [
        (say("By kind of part"), {say(kind): cost for kind, cost in bill.by_kind.items()}),
        (say("By system"), systems),
        (say("By harness"), harnesses),
    ]
    shown = [(title, _dearest(costs)) for title, costs in groups if costs]
    if not shown:
        return ()
    row, head = 4.6, 7.0
    high = fsum(head + row * len(rows) for _, rows in shown)
    canvas = figure(
        WIDTH_MM,
        9 + high + 8,
        result.vehicle.description.vehicle,
        "cost",
        what := say("Cost by kind of part, system and harness"),
    )
    heading = say("Cost at a glance, {currency}, before tax and carriage", currency=bill.currency)
    canvas.text(2, 4.2, fitted(heading, NORMAL_MM, 166, True), NORMAL_MM, bold=True)
    area = Box(58, 7, 86, high)
    dearest = max((cost for _, rows in shown for _, cost in rows), default=1)
    ticks = ticks_to(float(dearest))
    draw_axis(canvas, area, ticks, bill.currency)
    y = area.y
    for title, rows in shown:
        canvas.text(2, y + 5, title, bold=True)
        y += head
        for name, cost in rows:
            canvas.text(56, y + 3.3, fitted(name, SMALL_MM, 52), anchor="end")
            wide = float(cost) / ticks[-1] * area.w
            canvas.rect(Box(area.x, y + 1, wide, row - 1.8), 0.25, fill=DARK, class_="cost")
            canvas.text(WIDTH_MM - 2, y + 3.3, in_figures(f"{cost:.2f}"), anchor="end")
            y += row
    return (canvas.drawing("cost", what),)


def _harness(key: str) -> str:
    return say(key) if key == LOOSE else key


def _dearest(costs: Mapping[str, Decimal]) -> list[tuple[str, Decimal]]:
    """The dearest first; what there is no room for in one sum at the end."""
    rows = sorted(costs.items(), key=lambda pair: (-pair[1], pair[0]))
    if len(rows) <= MOST_COSTS:
        return rows
    rest = sum((cost for _, cost in rows[MOST_COSTS - 1 :]), Decimal(0))
    return [*rows[: MOST_COSTS - 1], (say("{n} more", n=len(rows) - MOST_COSTS + 1), rest)]
