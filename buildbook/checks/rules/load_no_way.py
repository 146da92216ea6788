"""Finds loads whose feed or return ends nowhere."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.conducting import BONDS, conducting_pairs, earthed_ends, live_ends, reach
from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import loads, pins_with
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import inside
from buildbook.vehicle.model import Load
from buildbook.words.say import say

RULE = "load-no-way"
SEVERITY = "error"
SOURCE = "this description: current needs a way from the battery or a controller, and a way back"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Follow wires, fuses and contacts from each end of a load; a load in series is a way, too."""
    vehicle = assessed.vehicle
    edges = list(conducting_pairs(assessed.vehicle, assessed.harness))
    plus = reach(edges, *live_ends(vehicle))
    minus = reach(edges, *earthed_ends(vehicle)) | _armatures(assessed)
    given = [reach(edges, inside(s.plus_pin)) for d in vehicle.devices.values() for s in d.sources]
    live = plus.union(*given)
    for device, load in loads(vehicle):
        ends = [inside(load.from_pin), inside(load.to_pin)]
        lost = [
            pin
            for pin, end in zip((load.from_pin, load.to_pin), ends, strict=True)
            if end not in live and end not in minus
        ]
        if lost and not _in_series(assessed, load, lost, live, minus):
            what = _leads_nowhere(lost)
        elif lost:
            continue
        elif not any(end in live for end in ends):
            what = say(
                "pins {one} and {other} both lead to ground; neither is fed",
                one=load.from_pin,
                other=load.to_pin,
            )
        elif not any(end in minus for end in ends) and all(end in plus for end in ends):
            what = say(
                "pins {one} and {other} both lead to a feed; it has no return",
                one=load.from_pin,
                other=load.to_pin,
            )
        else:
            continue
        yield Finding(
            RULE,
            "error",
            load.id,
            say("{device} cannot work: {what}.", device=called(device.title, load.id), what=what),
            say(
                "Join the pin in a circuit that leads on: to a fuse, switch or output "
                "as its feed, to a ground stud or output as its return."
            ),
            SOURCE,
            device.where,
        )


def _leads_nowhere(pins: list[str]) -> str:
    if len(pins) == 1:
        return say("pin {pin} leads neither to a feed nor to a ground", pin=pins[0])
    return say(
        "pin {one} and pin {other} leads neither to a feed nor to a ground",
        one=pins[0],
        other=pins[1],
    )


def _armatures(assessed: Assessed) -> frozenset[str]:
    """Nodes that lead into a dynamo: at rest its armature is a way to the body."""
    kinds = BONDS - {"cut-out"}
    edges = list(conducting_pairs(assessed.vehicle, assessed.harness, kinds=kinds))
    dynamos = [s for s in assessed.vehicle.supply.generators if s.kind == "dynamo"]
    ends = [inside(pin) for s in dynamos for pin in (s.plus_pin, s.minus_pin)]
    return reach(edges, *ends)


def _in_series(
    assessed: Assessed, load: Load, lost: list[str], live: frozenset[str], minus: frozenset[str]
) -> bool:
    """Whether another load leads on from a lost pin to the other pole: a current loop."""
    for pin in lost:
        far = load.to_pin if pin == load.from_pin else load.from_pin
        beside = pins_with(assessed.vehicle, pin)
        goal = (live if inside(far) in minus else frozenset()) | (
            minus if inside(far) in live else frozenset()
        )
        for _, other in loads(assessed.vehicle):
            for near, end in ((other.from_pin, other.to_pin), (other.to_pin, other.from_pin)):
                if other.id != load.id and near in beside and inside(end) in goal:
                    return True
    return False
