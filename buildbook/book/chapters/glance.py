"""The vehicle at a glance: power diagram, loads, charging balance."""

from __future__ import annotations

import textwrap

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.shared_rows import Cell, all_loads, load_cells
from buildbook.electrical.supply import accepts_a
from buildbook.result import Result
from buildbook.vehicle.model import Load

STATES_ACROSS = 8
"""States side by side on a landscape page."""
LETTERS = 54
"""What a line of the load table takes of a load's description."""


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    states = result.vehicle.states
    alternator = result.vehicle.supply.generator_data
    generator = result.vehicle.supply.generator
    battery = result.vehicle.supply.battery_data
    several = len(result.vehicle.supply.batteries) > 1
    groups = [states[n : n + STATES_ACROSS] for n in range(0, len(states), STATES_ACROSS)]
    context = {
        "tables": [(group, load_rows(result, group)) for group in groups],
        "balances": result.supply.balances,
        "batteries": result.vehicle.supply.batteries if several else (),
        "refills": [b for b in result.supply.balances if b.recharge_h is not None],
        "generator": result.vehicle.supply.generator_word,
        "day_a": result.supply.day_a,
        "battery": battery,
        "alternator": alternator,
        "hot_c": generator.air_c if generator and alternator and alternator.per_kelvin else None,
        "accepts": accepts_a(battery),
        "curve": drawings.first("alternator"),
        "power": drawings.first("power"),
        "plan": drawings.of("plan"),
        "masses": drawings.of("masses"),
        "charging": drawings.first("charging"),
    }
    kinds = ("power", "charging", "alternator", "masses", "plan")
    shown = tuple(drawing for kind in kinds for drawing in drawings.of(kind))
    return (Chapter("glance", "The vehicle at a glance", "glance.html", context, shown),)


def load_rows(result: Result, states: tuple[str, ...]) -> list[tuple[Load, str, list[Cell]]]:
    """Every load with its words and, for each of `states`, amps through and volts across it."""
    return [
        (load, load_words(result, load), load_cells(result, load, states))
        for load in all_loads(result)
    ]


def load_words(result: Result, load: Load) -> str:
    """'Left headlamp: the left dipped beam lights', cut to one line."""
    title = result.vehicle.devices[load.device].title or load.device
    words = f"{title}: {load.what}" if load.what else title
    return textwrap.shorten(words, LETTERS, placeholder=" …")
