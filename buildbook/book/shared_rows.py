"""Selections of a Result that several chapters show: rows, groups and readings, no new values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from buildbook.harness.model import End, Wire
from buildbook.result import Result
from buildbook.sizing.model import WireSizing
from buildbook.vehicle.model import Device, Load, Pin

KEY_STATES = 6
"""States that fit side by side in a table of readings."""
ON_A = 1e-5
"""Current under which a load is off: a knock sensor takes ten millionths of an amp."""
SUPPLY_KINDS = ("fuse", "relay", "ground")
"""Devices described in the supply chapter wherever their system is."""


Cell = tuple[float, float] | None
"""Amps through a load and volts across it; None where it does not work."""


@dataclass(frozen=True)
class WireRow:
    wire: Wire
    size: WireSizing | None
    from_: str
    to: str

    @property
    def label(self) -> str:
        return self.size.label if self.size else "–"


def end_text(end: End) -> str:
    """What a wire's end is called: pin id, splice id, or where it is capped."""
    return f"capped at {end.point}" if end.kind == "capped" else end.node


def wire_row(result: Result, wire: Wire) -> WireRow:
    size = result.sizing.wires.get(wire.id)
    return WireRow(wire, size, end_text(wire.a), end_text(wire.b))


def wires_of(result: Result, circuit: str) -> tuple[WireRow, ...]:
    """Rows of a circuit's wires."""
    wires = result.harness.wires.values()
    return tuple(wire_row(result, wire) for wire in wires if wire.circuit == circuit)


def key_states(result: Result) -> tuple[str, ...]:
    """States shown side by side: the first few, in the author's order."""
    return result.vehicle.states[:KEY_STATES]


def further_states(result: Result) -> tuple[str, ...]:
    """The states that have no room beside the key states."""
    return result.vehicle.states[KEY_STATES:]


def reading(result: Result, state: str, node: str) -> float | None:
    """Metered volts of a node against the battery's negative post."""
    return result.solved.meter[state].volts.get(node)


def readings(result: Result, node: str) -> tuple[float | None, ...]:
    """Metered volts of a node in the key states."""
    return tuple(reading(result, state, node) for state in key_states(result))


def current(result: Result, state: str, branch: str) -> float:
    return abs(result.solved.meter[state].current_a.get(branch, 0.0))


def in_supply(result: Result, device: Device) -> bool:
    """True for devices that the supply chapter describes."""
    known = result.vehicle.description.systems
    return device.kind in SUPPLY_KINDS or device.system not in known


def note(result: Result, key: str) -> str:
    """The author's notes for a place, '' for none."""
    return result.vehicle.notes.get(key, "")


def load_title(result: Result, load: Load) -> str:
    """What is seen when a load works, or what the device is called."""
    device = result.vehicle.devices[load.device]
    return load.what or device.title or load.id


def all_loads(result: Result) -> tuple[Load, ...]:
    return tuple(load for device in result.vehicle.devices.values() for load in device.loads)


def terminal_volts(result: Result, load: Load, state: str) -> float | None:
    """Metered volts across a load in a state."""
    plus = reading(result, state, f"{load.from_pin}~")
    minus = reading(result, state, f"{load.to_pin}~")
    return None if plus is None or minus is None else plus - minus


def load_cells(result: Result, load: Load, states: Iterable[str]) -> list[Cell]:
    """Amps through and volts across a load in each state; None where it does not work.

    Less than it works from is a leak: a lamp that is off between two grounds that differ.
    """
    cells: list[Cell] = []
    for state in states:
        amps = current(result, state, f"load:{load.id}")
        volts = terminal_volts(result, load, state) or 0.0
        on = state in load.states and amps > ON_A and abs(volts) >= load.working_v
        cells.append((amps, volts) if on else None)
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
