"""Charging chart: what the loads of every state take against what the alternator can give."""

from __future__ import annotations

from buildbook.drawing.charts.axis import DARK, WIDTH_MM, draw_axis, ticks_to
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.drawing.shared.canvas import GREY
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted
from buildbook.drawing.shared.sheet import figure
from buildbook.electrical.model import Solution
from buildbook.sizing.stage import Sized


def demand_a(solution: Solution) -> float:
    """What the loads take together: the alternator's current less what goes into the battery."""
    return solution.alternator_a - solution.charging_a


def charging_chart(result: Sized) -> Sheets:
    """For every state the demand (dark) against what the alternator can give (outline).

    None for a vehicle without an alternator.
    """
    if result.vehicle.supply.generator is None:
        return ()
    states = {s: sol for s, sol in result.solved.meter.items()}
    row, left, right = 6.6, 40.0, 54.0
    canvas = figure(
        WIDTH_MM,
        14 + row * len(states) + 8,
        result.vehicle.description.vehicle,
        "charging-balance",
        "Charging balance by state",
        "every state",
    )
    canvas.text(
        2,
        4.2,
        "Charging balance: what the loads take, what the alternator can give",
        NORMAL_MM,
        bold=True,
    )
    canvas.text(
        2,
        8.6,
        "dark: demand; outline: alternator at that engine speed; balance: what is left over",
        colour=GREY,
    )
    area = Box(left, 12, WIDTH_MM - left - right, row * len(states))
    largest = max((max(demand_a(s), s.alternator_limit_a) for s in states.values()), default=1)
    ticks = ticks_to(largest)
    draw_axis(canvas, area, ticks, "A")
    for n, (state, solution) in enumerate(states.items()):
        y, demand = area.y + n * row, demand_a(solution)
        per_a = area.w / ticks[-1]
        canvas.text(left - 2, y + 4.2, fitted(state, SMALL_MM, left - 4), anchor="end")
        limit = Box(left, y + 3.5, max(0.0, solution.alternator_limit_a) * per_a, 2.2)
        canvas.rect(limit, 0.35, fill="#ffffff", class_="limit")
        canvas.rect(
            Box(left, y + 0.9, max(0.0, demand) * per_a, 2.2), 0.25, fill=DARK, class_="demand"
        )
        balance = round(solution.alternator_limit_a - demand, 1) + 0.0
        figures = f"{demand:.1f} A of {solution.alternator_limit_a:.1f} A"
        canvas.text(area.right + 3, y + 4.2, figures)
        canvas.text(
            area.right + 28,
            y + 4.2,
            f"balance {balance:+.1f} A".replace("-", "−"),
            bold=True,
            class_="balance",
        )
    return (canvas.drawing("charging-balance", "Charging balance by state"),)
