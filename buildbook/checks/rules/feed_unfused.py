"""Finds wires that the battery feeds with no fuse in between."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.conducting import conducting_pairs, live_posts, reach
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import end_name
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import inside
from buildbook.figures import length
from buildbook.harness.model import Wire
from buildbook.words.say import mark, say

RULE = "feed-unfused"
SEVERITY = "error or note"
SOURCE = f"{PRACTICE}: every feed has a fuse close to the battery, the starter's cable aside"
MAIN = frozenset(
    {"battery", "isolator", "starter", "alternator", "dynamo", "panel", "fuse", "pass-through"}
)
"""Kinds between which the main cables run ahead of the first fuse."""
IS_LIVE = mark(
    "Wire {wire} of '{circuit}', from {one} to {other}, is live from the battery with no fuse "
    "before it ({length})."
)
IS_SWITCHED_LIVE = mark(
    "Wire {wire} of '{circuit}', from {one} to {other}, is live from the battery, while the relay "
    "or solenoid before it is pulled in, with no fuse before it ({length})."
)


def check(assessed: Assessed) -> Iterator[Finding]:
    """Follow wires, bus bars and contacts from the batteries' live posts up to the fuses."""
    posts = live_posts(assessed.vehicle)
    live = reach(
        conducting_pairs(assessed.vehicle, assessed.harness, kinds=("bus", "switch", "relay")),
        *posts,
    )
    resting = [
        (inside(c.from_pin), inside(c.to_pin))
        for device in assessed.vehicle.devices.values()
        for c in device.contacts
        if c.kind == "relay" and c.inverted
    ]
    at_rest = reach(
        (*conducting_pairs(assessed.vehicle, assessed.harness, kinds=("bus", "switch")), *resting),
        *posts,
    )
    main = _main_devices(assessed)
    for wire in assessed.harness.wires.values():
        if wire.a.node in live and wire.b.node in live:
            ends = {pin.device for pin in assessed.vehicle.circuits[wire.circuit].pins}
            yield _finding(assessed, wire, ends <= main, wire.a.node in at_rest)


def _main_devices(assessed: Assessed) -> set[str]:
    """Devices of the main cables, and the relays that pass the starter's current."""
    devices = assessed.vehicle.devices.values()
    found = {d.id for d in devices if d.kind in MAIN}
    for circuit in assessed.vehicle.circuits.values():
        kinds = {assessed.vehicle.devices[p.device].kind for p in circuit.pins}
        if "starter" in kinds:
            found |= {
                pin.device
                for pin in circuit.pins
                if assessed.vehicle.devices[pin.device].kind == "relay" and pin.name in ("30", "87")
            }
    return found


def _finding(assessed: Assessed, wire: Wire, main: bool, at_rest: bool) -> Finding:
    circuit = assessed.vehicle.circuits[wire.circuit]
    text = IS_LIVE if at_rest else IS_SWITCHED_LIVE
    return Finding(
        RULE,
        "note" if main else "error",
        wire.id,
        say(
            text,
            wire=wire.id,
            circuit=wire.circuit,
            one=end_name(wire.a),
            other=end_name(wire.b),
            length=length(wire.cut_m),
        ),
        say(
            "Keep it short, cover it and clamp it clear of metal, or put a bolted "
            "fuse at the battery."
        )
        if main
        else say("Feed it through a fuse on the panel."),
        SOURCE,
        circuit.where,
    )
