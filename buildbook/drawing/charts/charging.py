"""Charging chart: what the loads of every state take against what the alternator can give."""

from __future__ import annotations

from buildbook.drawing.charts.axis import DARK, WIDTH_MM, draw_axis, ticks_to
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.drawing.shared.canvas import GREY
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted
from buildbook.drawing.shared.sheet import figure
from buildbook.electrical.supply import demand_a
from buildbook.figures import current
from buildbook.sizing.stage import Sized
from buildbook.words.say import say


def charging_chart(result: Sized) -> Sheets:
    """For every state the demand (dark) against what the alternator can give (outline).

    None for a vehicle without an alternator.
    """
    if result.vehicle.supply.generator is None:
        return ()
    called = say(result.vehicle.supply.generator_word)
    title = say("Charging balance by state")
    states = {s: sol for s, sol in result.solved.meter.items()}
    demands = {s: demand_a(result.vehicle, sol) for s, sol in states.items()}
    row, left, right = 6.6, 40.0, 54.0
    canvas = figure(
        WIDTH_MM,
        14 + row * len(states) + 8,
        result.vehicle.description.vehicle,
        "charging-balance",
        title,
        say("every state"),
    )
    head = say(
        "Charging balance: what the loads take, what the {generator} can give", generator=called
    )
    canvas.text(2, 4.2, head, NORMAL_MM, bold=True)
    note = say(
        "dark: demand; outline: {generator} at that engine speed; balance: what is left over",
        generator=called,
    )
    canvas.text(2, 8.6, note, colour=GREY)
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
            canvas.text(area.right + 3, y + 4.2, say("a contact buzzes: not to be predicted"))
            continue
        canvas.rect(
            Box(left, y + 0.9, max(0.0, demand) * per_a, 2.2), 0.25, fill=DARK, class_="demand"
        )
        limit_a = solution.alternator_limit_a
        figures = say("{a} of {most_a}", a=current(demand), most_a=current(limit_a))
        canvas.text(area.right + 3, y + 4.2, figures)
        left_over = say("balance {amps}", amps=current(limit_a - demand, plus=True))
        canvas.text(area.right + 28, y + 4.2, left_over, bold=True, class_="balance")
    return (canvas.drawing("charging-balance", title),)
