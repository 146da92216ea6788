"""Finds engines that the alternator keeps alive with the isolator open."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.questions import circuits_at, is_ground
from buildbook.checks.stages import Assessed
from buildbook.checks.standing import Bench, Mended, Standing
from buildbook.vehicle.model import Device
from buildbook.words.say import say

RULE = "engine-survives-isolator"
SEVERITY = "error"
SOURCE = f"{PRACTICE}: a second pole of the isolator cuts what the alternator would feed on"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Open the isolators, take away the battery, and see which controllers the alternator feeds.

    Relays follow their coils: where a second pole cuts a coil, what that relay feeds is dead.
    """
    vehicle = assessed.vehicle
    isolators = [d.id for d in vehicle.all_of("isolator")]
    alternator = vehicle.supply.generator
    if not isolators or alternator is None:
        return
    bench = Bench(vehicle)
    isolated = Mended(
        closed={c.id: frozenset() for d in isolators for c in vehicle.devices[d].contacts},
        without=frozenset(s.id for s in vehicle.supply.batteries),
    )
    running = [s for s in vehicle.states if alternator.limit_a.get(s)]
    open_ = [bench.standing(state, isolated) for state in running]
    for device in vehicle.all_of("controller"):
        power = device.written.power
        if power is None or not _runs_engine(assessed, device):
            continue
        fed = [f"{device.id}.{feed}" for feed in power.feeds]
        ground = f"{device.id}.{power.grounds[0]}"
        if any(
            _stays(standing, pin, ground, power.works_from) for standing in open_ for pin in fed
        ):
            yield Finding(
                RULE,
                "error",
                device.id,
                say(
                    "With the isolator open, a running engine's alternator still feeds {device} "
                    "({pins}): the engine would run on.",
                    device=device.title,
                    pins=", ".join(fed),
                ),
                say("Lead the controller's feed through a second pole of the isolator."),
                SOURCE,
                device.where,
            )


def _stays(standing: Standing, feed: str, ground: str, works_from_v: float) -> bool:
    volts = standing.across(feed, ground)
    return volts is not None and volts >= works_from_v


def _runs_engine(assessed: Assessed, device: Device) -> bool:
    """Whether it is wired to an injector or an ignition coil."""
    circuits = (c for pin in device.pins for c in circuits_at(assessed.vehicle, pin.id))
    kinds = {
        assessed.vehicle.devices[pin.device].kind
        for circuit in circuits
        for pin in assessed.vehicle.circuits[circuit].pins
        if not is_ground(assessed.vehicle, assessed.vehicle.circuits[circuit])
    }
    return bool(kinds & {"injector", "ignition coil"})
