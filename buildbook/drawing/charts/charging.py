"""Charging chart: what the loads of every state take against what the alternator can give."""

from __future__ import annotations

from buildbook.drawing.charts.axis import DARK, WIDTH_MM, draw_axis, ticks_to
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.drawing.shared.canvas import GREY
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted
from buildbook.drawing.shared.sheet import figure
from buildbook.electrical.supply import demand_a
from buildbook.sizing.stage import Sized


def charging_chart(result: Sized) -> Sheets:
    """For every state the demand (dark) against what the alternator can give (outline).

    None for a vehicle without an alternator.
    """
    if result.vehicle.supply.generator is None:
        return ()
    called = result.vehicle.supply.generator_word
    states = {s: sol for s, sol in result.solved.meter.items()}
    demands = {s: demand_a(result.vehicle, sol) for s, sol in states.items()}
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
        f"Charging balance: what the loads take, what the {called} can give",
        NORMAL_MM,
        bold=True,
    )
    canvas.text(
        2,
        8.6,
        f"dark: demand; outline: {called} at that engine speed; balance: what is left over",
        colour=GREY,
    )
    area = Box(left, 12, WIDTH_MM - left - right, row * len(states))
    largest = max((max(demands[n], s.alternator_limit_a) for n, s in states.items()), default=1)
    ticks = ticks_to(largest)
    draw_axis(canvas, area, ticks, "A")
    for n, (state, solution) in enumerate(states.items()):
        y, demand = area.y + n * row, demands[state]
        per_a = area.w / ticks[-1]
        canvas.text(left - 2, y + 4.2, fitted(state, SMALL_MM, left - 4), anchor="end")
        limit = Box(left, y + 3.5, max(0.0, solution.alternator_limit_a) * per_a, 2.2)
        canvas.rect(limit, 0.35, fill="#ffffff", class_="limit")
        if solution.unsettled:
            canvas.text(area.right + 3, y + 4.2, "a contact buzzes: not to be predicted")
            continue
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
