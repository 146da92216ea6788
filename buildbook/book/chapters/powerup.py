"""Tests before and at first power-up."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import current, key_states, reading
from buildbook.result import Result
from buildbook.vehicle.model import Device


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
    sources = [s for d in result.vehicle.devices.values() for s in d.sources]
    context = {
        "states": states,
        "fuses": rows,
        "sources": sources,
        "grounds": result.vehicle.all_of("ground"),
        "battery": result.vehicle.description.supply.battery,
        "splices": tuple(result.harness.splices.values()),
    }
    return (Chapter("powerup", "Tests before and at first power-up", "powerup.html", context),)


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
