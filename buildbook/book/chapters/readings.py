"""Readings of every pin, load and ground point in every state, for whoever checks the book."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass

from buildbook.book.chapter import Chapter
from buildbook.book.chapters.supply import ground_row
from buildbook.book.drawings import Drawings
from buildbook.book.pin_rows import off_readings, stud_pins
from buildbook.book.shared_rows import Cell, all_loads, load_cells, pin_readings, state_columns
from buildbook.electrical.reading import Reading
from buildbook.result import Result
from buildbook.vehicle.model import Load, Pin
from buildbook.words.say import say

STATES_ACROSS = 8
"""States side by side on a landscape page."""
LETTERS = 54
"""What a line of the load table takes of a load's description."""


LoadTable = tuple[tuple[str, ...], list[tuple[Load, str, list[Cell]]]]
"""The states of a table, and its rows: a load, its words, and a cell for each state."""


@dataclass(frozen=True)
class PinReadings:
    """A pin in every state, in the columns of the states, and with its connector unplugged."""

    pin: Pin
    plugged_in: tuple[tuple[Reading | None, ...], ...]
    off: tuple[Reading | None, ...] = ()


@dataclass(frozen=True)
class Place:
    """A connector, or a device whose terminals are in none, with its pins."""

    name: str
    title: str
    off_states: tuple[str, ...]
    pins: tuple[PinReadings, ...]


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    places = [*connectors(result), *terminals(result)]
    states = state_columns(result.vehicle.states)
    off_columns = max((len(place.off_states) for place in places), default=0)
    context = {
        "places": places,
        "off_columns": off_columns,
        "across": 1 + len(states) + off_columns,
        "states": states,
        "grounds": [ground_row(result, ground) for ground in result.vehicle.all_of("ground")],
        "loads": load_tables(result),
    }
    return (Chapter("readings", say("Readings in every state"), "readings.html", context),)


def connectors(result: Result) -> list[Place]:
    """Every connector in order, its pins plugged in and with the connector itself off."""
    found = []
    for connector in result.harness.connectors.values():
        pins = (
            PinReadings(pin, pin_readings(result, pin.id), off_readings(result, pin, connector.id))
            for pin in connector.pins
        )
        off_states = result.unplugged[connector.id].states
        found.append(Place(connector.id, connector.title, off_states, tuple(pins)))
    return found


def terminals(result: Result) -> list[Place]:
    """Every device with pins that are in no connector."""
    found = []
    for device in result.vehicle.devices.values():
        if pins := stud_pins(result, device):
            rows = tuple(PinReadings(pin, pin_readings(result, pin.id)) for pin in pins)
            found.append(Place(device.id, device.title, (), rows))
    return found


def load_tables(result: Result) -> list[LoadTable]:
    """Every load in all states, so many of these to a table as stand side by side."""
    states = result.vehicle.states
    groups = [states[n : n + STATES_ACROSS] for n in range(0, len(states), STATES_ACROSS)]
    return [(group, load_rows(result, group)) for group in groups]


def load_rows(result: Result, states: tuple[str, ...]) -> list[tuple[Load, str, list[Cell]]]:
    """Every load with its words and, for each of `states`, amps through and volts across it."""
    return [
        (load, load_words(result, load), load_cells(result, load, states))
        for load in all_loads(result)
    ]


def load_words(result: Result, load: Load) -> str:
    """'Left headlamp: the left dipped beam lights', cut to one line."""
    called = result.vehicle.devices[load.device].what_it_is
    words = f"{called}: {load.what}" if load.what else called
    return textwrap.shorten(words, LETTERS, placeholder=" …")
