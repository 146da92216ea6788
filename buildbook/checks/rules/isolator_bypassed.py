"""Finds wires that stay live when the isolator is open."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.conducting import conducting_pairs, live_posts, reach
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "isolator-bypassed"
SEVERITY = "error or note"
SOURCE = f"{PRACTICE}: an isolator cuts all but what keeps a memory (motorsport rules ask for all)"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Open every isolator and follow the battery; wires from the battery to it do not count."""
    vehicle = assessed.vehicle
    isolators = [d.id for d in vehicle.all_of("isolator")]
    if not isolators:
        return
    posts = live_posts(vehicle)
    edges = list(
        conducting_pairs(
            assessed.vehicle,
            assessed.harness,
            without=isolators,
            kinds=("fuse", "bus", "switch", "relay"),
        )
    )
    unfused = list(
        conducting_pairs(
            assessed.vehicle, assessed.harness, without=isolators, kinds=("bus", "switch", "relay")
        )
    )
    first: dict[str, str] = {}
    live, bare = reach(edges, *posts), reach(unfused, *posts)
    for circuit in vehicle.circuits.values():
        pins = [pin for pin in circuit.pins if pin.id in live]
        kinds = {vehicle.devices[pin.device].kind for pin in circuit.pins}
        if not pins or kinds <= {"battery", "isolator", "fuse"}:
            continue
        fused = not any(pin.id in bare for pin in pins)
        told = next((first[pin.id] for pin in pins if pin.id in first), None) if fused else None
        if fused and told is None:
            first |= dict.fromkeys(reach(unfused, pins[0].id), circuit.id)
        yield Finding(
            RULE,
            "note" if fused else "error",
            circuit.id,
            say(
                "The circuit '{circuit}' stays live from the battery when the isolator is open "
                "(behind a fuse).",
                circuit=circuit.id,
            )
            if fused
            else say(
                "The circuit '{circuit}' stays live from the battery when the isolator is open, "
                "with no fuse.",
                circuit=circuit.id,
            ),
            say(
                "Feed it from the far side of the isolator; leave live only what keeps "
                "a memory, and that behind a small fuse at the battery."
            ),
            SOURCE,
            circuit.where,
            follows=(RULE, told) if told else None,
        )
