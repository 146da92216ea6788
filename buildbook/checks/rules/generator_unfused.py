"""Finds generators that join behind a fuse with no fuse of their own."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.conducting import conducting_pairs, reach
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import inside
from buildbook.sizing.zones import fault_a
from buildbook.vehicle.model import Device
from buildbook.vehicle.power_model import PowerSource
from buildbook.words.joined import few_of
from buildbook.words.say import say

RULE = "generator-unfused"
SEVERITY = "error or note"
SOURCE = f"{PRACTICE}: a fuse guards against what stands before it, not against what joins behind"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Follow each generator and converter past contacts and bus bars up to the fuses it meets."""
    vehicle = assessed.vehicle
    edges = list(
        conducting_pairs(
            vehicle,
            assessed.harness,
            kinds=("bus", "switch", "relay", "driver", "pull-down", "cut-out"),
        )
    )
    for source in vehicle.supply.sources:
        if source.kind in ("battery", "magneto"):
            continue
        pins = [p for p in (source.plus_pin, source.minus_pin) if p in vehicle.supply.live_pins]
        near = reach(edges, *map(inside, pins)) if pins else frozenset()
        behind = [
            fuse
            for fuse in vehicle.all_of("fuse")
            if any(inside(pin.id) in near for pin in fuse.pins)
        ]
        wires = [
            w
            for w, wire in assessed.harness.wires.items()
            if wire.a.node in near and w in assessed.sizing.wires
        ]
        thin = [w for w in wires if _heat_allowed_a(assessed, w) < fault_a(source) - 1e-6]
        for fuse in behind:
            if _feeds_on(assessed, fuse, near):
                yield _finding(assessed, source, fuse, thin)


def _heat_allowed_a(assessed: Assessed, wire: str) -> float:
    limits = assessed.sizing.wires[wire].limits
    return next((x.allowed for x in limits if x.name == "heat" and x.unit == "A"), 0.0)


def _feeds_on(assessed: Assessed, fuse: Device, near: frozenset[str]) -> bool:
    """Whether the stretch that the generator joins is one that the fuse is there to guard."""
    sized = assessed.sizing.fuses.get(fuse.id)
    loads = {load.id: load for d in assessed.vehicle.devices.values() for load in d.loads}
    fed = [loads[name] for name in (sized.feeds if sized else ()) if name in loads]
    return any({inside(load.from_pin), inside(load.to_pin)} & near for load in fed)


def _finding(assessed: Assessed, source: PowerSource, fuse: Device, thin: list[str]) -> Finding:
    device = assessed.vehicle.devices[assessed.vehicle.pins[source.plus_pin].device]
    gives_a = fault_a(source)
    carry = (
        say("Wire {wires} cannot carry that for ever.", wires=few_of(thin, 3))
        if thin
        else say("The wires that it reaches are sized to carry that for ever.")
    )
    return Finding(
        RULE,
        "error" if thin else "note",
        source.id,
        say(
            "{device} joins behind fuse {fuse} with no fuse of its own: into a "
            "short there it drives up to {gives_a:.0f} A, whatever {fuse} does. "
            "{carry}",
            device=called(device.title, device.id),
            fuse=fuse.id,
            gives_a=gives_a,
            carry=carry,
        ),
        say("Put a fuse between {device} and what {fuse} feeds.", device=device.id, fuse=fuse.id),
        SOURCE,
        source.where,
    )
