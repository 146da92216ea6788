"""The vehicle at a glance: power diagram, loads, charging balance."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import all_loads, current, key_states, load_title, terminal_volts
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    states = key_states(result)
    rows = []
    for load in all_loads(result):
        cells = [
            (current(result, s, f"load:{load.id}"), terminal_volts(result, load, s)) for s in states
        ]
        rows.append((load, load_title(result, load), cells))
    context = {
        "states": states,
        "loads": rows,
        "balance": result.solved.meter,
        "written": result.vehicle.description.states,
        "battery_node": f"{result.vehicle.description.supply.battery.between[0]}~",
        "power": drawings.power,
        "charging": drawings.charging,
    }
    shown = tuple(d for d in (drawings.power, drawings.charging) if d)
    return (Chapter("glance", "The vehicle at a glance", "glance.html", context, shown),)
