"""Tests before and at first power-up."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.sensorwords import as_it_stands, sensor_views
from buildbook.book.views import current, key_states, reading
from buildbook.result import Result
from buildbook.vehicle.model import Device, Pin, Source

STIFF_OHM = 5.0
"""A source behind less than this feeds sensors; behind more it pulls an input up."""


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    states = key_states(result)
    rows = [
        (
            fuse,
            result.sizing.fuses.get(fuse.id),
            least_ohms(result, fuse),
            [current(result, state, f"fuse:{fuse.id}") for state in states],
        )
        for fuse in result.vehicle.all_of("fuse")
    ]
    context = {
        "states": states,
        "fuses": rows,
        "sources": reference_rows(result),
        "sensors": [
            (view, row)
            for view in sensor_views(result)
            if result.vehicle.devices[view.table.device].written.fitted == "yes"
            and (row := as_it_stands(view))
        ],
        "grounds": result.vehicle.all_of("ground"),
        "battery": result.vehicle.description.supply.battery,
        "splices": tuple(result.harness.splices.values()),
    }
    return (Chapter("powerup", "Tests before and at first power-up", "powerup.html", context),)


def reference_rows(result: Result) -> list[tuple[Device, float, str, str, list[Pin]]]:
    """Device, volts unloaded, what stands behind them, return pin, and the pins that give them."""
    rows: dict[tuple, list[Pin]] = {}
    for device in result.vehicle.devices.values():
        for source in device.sources:
            key = (device.id, source.volts, behind(source), source.minus_pin)
            rows.setdefault(key, []).append(result.vehicle.pins[source.plus_pin])
    return [(result.vehicle.devices[key[0]], *key[1:], pins) for key, pins in rows.items()]


def behind(source: Source) -> str:
    """'supply, 0.25 A at most' for a stiff source, else its series resistance."""
    if source.ohms < STIFF_OHM:
        return f"supply, {source.limit_a:g} A at most"
    return f"{source.ohms / 1000:g} kΩ" if source.ohms >= 1000 else f"{source.ohms:g} Ω"


def least_ohms(result: Result, fuse: Device) -> float | None:
    """Least resistance to expect from a fuse's load side to the battery's negative post.

    Volts over amps in the state that draws most with the engine at rest. With the battery out
    relays and drivers are open, which can only raise it (taking a resistance out of a network
    never lowers what is left). None where the fuse carries nothing in those states.
    """
    found = []
    for state, written in result.vehicle.description.states.items():
        amps = current(result, state, f"fuse:{fuse.id}")
        volts = reading(result, state, f"{fuse.id}.out~")
        if not written.engine and amps > 1e-3 and volts:
            found.append(volts / amps)
    return min(found, default=None)
