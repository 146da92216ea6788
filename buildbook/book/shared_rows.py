"""Selections of a Result that several chapters show: rows, groups and readings, no new values."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from buildbook.description.pictures import with_pictures
from buildbook.electrical.network import volts_while_on
from buildbook.electrical.reading import Reading
from buildbook.faultfinding.access import cranked
from buildbook.harness.model import End, Wire
from buildbook.result import Result
from buildbook.sizing.model import WireSizing
from buildbook.vehicle.model import Device, Load, Pin
from buildbook.words.say import say

STATES_ACROSS = 8
"""Columns of readings that fit side by side on an upright page."""
ON_A = 1e-5
"""Current under which a load is off: a knock sensor takes ten millionths of an amp."""
SUPPLY_KINDS = ("fuse", "relay", "ground")
"""Devices described in the supply chapter wherever their system is."""


Cell = tuple[float, Reading] | None
"""Amps through a load and the reading across it; None where it does not work."""
Shown = TypeVar("Shown")


@dataclass(frozen=True)
class WireRow:
    wire: Wire
    size: WireSizing | None
    from_: str
    to: str
    guard: str = ""
    """Device of the fuse or output that protects it, '' where none does."""

    @property
    def label(self) -> str:
        return self.size.label if self.size else "–"


def end_text(end: End) -> str:
    """What a wire's end is called: pin id, splice id, or where it is capped."""
    return say("capped at {point}", point=end.point) if end.kind == "capped" else end.node


def wire_row(result: Result, wire: Wire) -> WireRow:
    size = result.sizing.wires.get(wire.id)
    opener = size.fuse if size else ""
    output = result.sizing.outputs.get(opener)
    guard = output.device if output else opener
    return WireRow(wire, size, end_text(wire.a), end_text(wire.b), guard)


def wires_of(result: Result, circuit: str) -> tuple[WireRow, ...]:
    """Rows of a circuit's wires."""
    wires = result.harness.wires.values()
    return tuple(wire_row(result, wire) for wire in wires if wire.circuit == circuit)


def state_columns(states: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """All states in columns, in order; where more than fit side by side, below one another."""
    deep = max(1, math.ceil(len(states) / STATES_ACROSS))
    return tuple(tuple(states[n : n + deep]) for n in range(0, len(states), deep))


def by_column(result: Result, of: Callable[[str], Shown]) -> tuple[tuple[Shown, ...], ...]:
    """What there is to show of each state, in the columns of the states."""
    return tuple(tuple(map(of, column)) for column in state_columns(result.vehicle.states))


def pin_readings(result: Result, pin: str) -> tuple[tuple[Reading | None, ...], ...]:
    """What a meter shows at a pin in every state, in their columns."""
    return by_column(result, lambda state: result.readings[state].at_pin(pin))


def current(result: Result, state: str, branch: str) -> float:
    return abs(result.solved.meter[state].current_a.get(branch, 0.0))


def in_supply(result: Result, device: Device) -> bool:
    """True for devices that the supply chapter describes."""
    known = result.vehicle.description.systems
    return device.kind in SUPPLY_KINDS or device.system not in known


def note(result: Result, key: str) -> str:
    """The author's notes for a place with their pictures, '' for none."""
    return with_pictures(result.vehicle.notes.get(key, ""), result.vehicle.pictures)


def load_title(result: Result, load: Load) -> str:
    """What is seen when a load works, or what the device is called."""
    device = result.vehicle.devices[load.device]
    return load.what or device.title or load.id


def all_loads(result: Result) -> tuple[Load, ...]:
    return tuple(load for device in result.vehicle.devices.values() for load in device.loads)


def across_load(result: Result, load: Load, state: str) -> Reading | None:
    """What a meter shows across a load in a state, at the terminals on its wires."""
    return result.readings[state].across_pins(load.from_pin, load.to_pin)


def load_cells(result: Result, load: Load, states: Iterable[str]) -> list[Cell]:
    """Amps through and volts across a load in each state; None where it does not work.

    Less than it works from is a leak: a lamp that is off between two grounds that differ.
    """
    cells: list[Cell] = []
    for state in states:
        amps = current(result, state, f"load:{load.id}")
        volts = volts_while_on(result.solved.meter[state], load)
        reading = across_load(result, load, state)
        on = state in load.states and amps > ON_A and volts >= load.working_v
        cells.append((amps, reading) if on and reading else None)
    return cells


def circuits_at(result: Result, pin: Pin) -> tuple[str, ...]:
    """Circuits that a pin is part of; for a pass-through contact, the one it carries."""
    found = result.vehicle.circuit_of_pin.get(pin.id, ())
    if found:
        return tuple(found)
    return tuple(p.circuit for p in result.harness.pass_pins if f"{p.device}.{p.cavity}" == pin.id)


def unique(items: Iterable[str]) -> tuple[str, ...]:
    """The items once each, in order."""
    return tuple(dict.fromkeys(items))


def two_states(result: Result) -> tuple[str, str]:
    """The state with the engine at rest and the one with it running that readings are given in.

    At rest: the one in which most loads draw; running: the slowest that does not crank.
    """
    states = result.vehicle.description.states
    loads = [load for device in result.vehicle.devices.values() for load in device.loads]
    rest = [name for name in states if not states[name].engine] or list(states)
    stopped = max(rest, key=lambda name: sum(name in load.states for load in loads))
    cranks = cranked(result.vehicle)
    runs = [name for name in states if states[name].engine and name not in cranks]
    return stopped, min(runs, key=lambda name: states[name].engine, default=stopped)
