"""Supply and distribution: panel, fuses, relays, main cables, ground points."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.sensor_wording import described_sensors
from buildbook.book.shared_rows import (
    all_loads,
    by_column,
    in_supply,
    note,
    state_columns,
    unique,
    wire_row,
)
from buildbook.book.sheet_pages import on_pages
from buildbook.checks.buzzing import buzzes_in
from buildbook.drawing.shared.model import FIGURE_MM
from buildbook.electrical.reading import Reading
from buildbook.result import Result
from buildbook.sizing.model import WireSizing
from buildbook.vehicle.model import Device, Pin
from buildbook.words.joined import and_more
from buildbook.words.say import say

MAIN_MM2 = 6.0
"""Wires of this area and above are listed as main cables."""
FEEDS_NAMED = 8
"""Devices of one fuse that the fuse table names, all of them."""
FIRST_NAMED = 4
"""Those that it names of more: which they all are is told where the fuse is lost."""


@dataclass(frozen=True)
class RelayRow:
    """A relay, the states in which its contact is closed, and what hangs on its pins."""

    device: Device
    closed: list[str]
    open: list[str]
    """The others, where these are fewer: 'all except off' is read faster than seven names."""
    buzzes: list[str]
    """States in which it comes to rest in neither position."""
    pins: list[tuple[Pin, tuple[str, ...]]]


@dataclass(frozen=True)
class GroundRow:
    """A ground point, the wires on its stud, and what it reads in every state."""

    device: Device
    wires: list[str]
    readings: tuple[tuple[Reading | None, ...], ...]
    """Of its stud that stands furthest from 0 V, in the columns of the states."""


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    vehicle = result.vehicle
    known = vehicle.description.systems
    sizes = result.sizing.wires
    thick = [
        w
        for w in result.harness.wires.values()
        if w.id in sizes and sizes[w.id].area_mm2 >= MAIN_MM2
    ]
    fuses = vehicle.all_of("fuse")
    panels = drawings.all_of("panels")
    own = [
        (c, [wire_row(result, w) for w in result.harness.wires.values() if w.circuit == c.id])
        for c in vehicle.circuits.values()
        if c.system not in known
    ]
    context = {
        "figures": [d for d in panels if d.width_mm <= FIGURE_MM],
        "sheet_pages": on_pages(
            (*(d for d in panels if d.width_mm > FIGURE_MM), *drawings.of("grounds"))
        ),
        "fuses": [(d, result.sizing.fuses.get(d.id), fed(result, d.id)) for d in fuses],
        "outputs": [(o, fed(result, o.output)) for o in result.sizing.outputs.values()],
        "relays": [relay_row(result, d) for d in vehicle.all_of("relay")],
        "unfused": any(shorts_unfused(sizes[w.id]) for w in thick),
        "cables": [wire_row(result, wire) for wire in thick],
        "ground_maps": drawings.of("grounds"),
        "grounds": [ground_row(result, d) for d in vehicle.all_of("ground")],
        "states": state_columns(result.vehicle.states),
        "cranking": result.supply.cranking,
        "posts": vehicle.supply.posts,
        "titles": {d.id: d.title for d in vehicle.devices.values()},
        "sensors": described_sensors(
            result, {d.id for d in vehicle.devices.values() if in_supply(result, d)}
        ),
        "others": [
            d
            for d in vehicle.devices.values()
            if in_supply(result, d) and d.kind not in ("fuse", "relay", "ground")
        ],
        "circuits": own,
        "guessed_cables": any(wire.is_estimate for wire in thick),
        "guessed": any(row.wire.is_estimate for _, rows in own for row in rows),
        "note": note(result, "supply"),
    }
    shown = (*panels, *drawings.of("grounds"))
    return (Chapter("supply", say("Supply and distribution"), "supply.html", context, shown),)


def shorts_unfused(size: WireSizing) -> bool:
    """Whether a dead short of the wire burns on, because no fuse stands before it."""
    return not size.fuse and size.working is not None and size.working.short_a > 0


def fed(result: Result, opener: str) -> str:
    """Titles of the devices that work through a fuse or output, the first few by name."""
    sizing = result.sizing.fuses.get(opener) or result.sizing.outputs.get(opener)
    behind = set(sizing.feeds) if sizing else set()
    devices = result.vehicle.devices
    loads = [load for load in all_loads(result) if load.id in behind]
    names = unique(devices[load.device].title or load.device for load in loads)
    if len(names) <= FEEDS_NAMED:
        return ", ".join(names)
    return and_more(names[:FIRST_NAMED], len(names) - FIRST_NAMED)


def relay_row(result: Result, relay: Device) -> RelayRow:
    """A relay, the states its contact closes in, and what hangs on its pins."""
    buzzes = buzzes_in(relay, result.solved)
    closed = [
        state
        for state, solution in result.solved.meter.items()
        if state not in buzzes
        and any(c.id in solution.closed and not c.inverted for c in relay.contacts)
    ]
    others = [state for state in result.solved.meter if state not in closed]
    shorter = len(others) < len(closed) and not buzzes
    circuits = result.vehicle.circuit_of_pin
    pins = [(pin, tuple(circuits.get(pin.id, ()))) for pin in relay.pins]
    return RelayRow(relay, closed, others if shorter else [], buzzes, pins)


def ground_row(result: Result, ground: Device) -> GroundRow:
    """A ground point, the wires on its stud, and what it reads in every state."""
    wires = [w for pin in ground.pins for w in result.harness.wire_at.get(pin.id, ())]

    def furthest(state: str) -> Reading | None:
        there = (result.readings[state].at_pin(pin.id) for pin in ground.pins)
        return max((r for r in there if r), key=lambda r: abs(r.most_v), default=None)

    return GroundRow(ground, wires, by_column(result, furthest))
