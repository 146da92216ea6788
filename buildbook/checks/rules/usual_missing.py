"""Finds what such a vehicle nearly always has and this one lacks."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import words
from buildbook.checks.stages import Assessed
from buildbook.problem import Where
from buildbook.vehicle.model import Vehicle
from buildbook.words.say import mark, say

RULE = "usual-missing"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: what scrutineers and the road ask of a vehicle of this kind"
USUAL = (
    (mark("horn", context="usual"), "horn", ("horn",)),
    (mark("brake lamp", context="usual"), "brake lamp", ("brake", "stop")),
    (mark("tail lamp", context="usual"), "tail lamp", ("tail", "rear", "rain")),
    (
        mark("battery isolator", context="usual"),
        "isolator",
        ("isolator", "isolating", "main", "master"),
    ),
    (mark("charge lamp", context="usual"), "charge lamp", ("charge", "charging")),
    (mark("wiper", context="usual"), "wiper", ("wiper",)),
    (mark("washer", context="usual"), "washer", ("washer",)),
    (mark("reverse lamp", context="usual"), "reverse lamp", ("reverse", "reversing")),
    (mark("indicator", context="usual"), "indicator", ("indicator", "indicators", "turn")),
    (mark("oil pressure warning", context="usual"), "oil pressure", ("oil",)),
)
"""What it is called, what is looked for, and the words that give it away."""
OF_A_CAR = frozenset({"wiper", "washer", "reverse lamp", "indicator", "oil pressure"})
"""Left out where the vehicle has no pair of headlamps or tail lamps: a motorcycle, a rig."""
OF_THE_ROAD = frozenset({"horn", "brake lamp", "tail lamp"})
"""Left out where it has neither headlamp nor tail lamp: a hauler, a digger."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Only vehicles with a starter and lamps: a bench or a boat's pump lacks nothing."""
    vehicle = assessed.vehicle
    lamps = vehicle.all_of("lamp")
    if not (vehicle.all_of("starter") and lamps):
        return
    sides = {word for d in lamps for word in words(d.id, d.title) if word in ("left", "right")}
    heads = [d for d in lamps if {"headlamp", "tail"} & set(words(d.id, d.title))]
    is_car = len(sides) == 2 and len(heads) > 2
    for name, what, signs in USUAL:
        if (what in OF_A_CAR and not is_car) or (what in OF_THE_ROAD and not heads):
            continue
        if _has(assessed, what, signs):
            continue
        if what == "charge lamp" and (
            not vehicle.all_of("alternator") or _lamp_at_an_alternator(vehicle)
        ):
            continue
        yield Finding(
            RULE,
            "note",
            name,
            say(
                "This vehicle has no {name}, or nothing in it is called so. Is it meant to "
                "be missing?",
                name=say(name, context="usual"),
            ),
            say(
                "Add it, or waive this note (rule {rule}, about: {name}) and say why.",
                rule=RULE,
                name=name,
            ),
            SOURCE,
            Where("vehicle.yaml"),
        )


def _lamp_at_an_alternator(vehicle: Vehicle) -> bool:
    """Whether a circuit joins a lamp and an alternator, whatever they are called."""
    kinds = [
        {vehicle.devices[pin.device].kind for pin in circuit.pins}
        for circuit in vehicle.circuits.values()
    ]
    return any({"lamp", "alternator"} <= found for found in kinds)


def _has(assessed: Assessed, what: str, signs: tuple[str, ...]) -> bool:
    kinds = {
        "horn": ("horn",),
        "isolator": ("isolator", "switch"),
        "wiper": ("motor",),
        "washer": ("motor",),
        "oil pressure": ("sensor", "switch", "lamp", "display"),
        "charge lamp": ("lamp", "switch", "display", "controller", "alternator"),
    }.get(what, ("lamp",))
    for device in assessed.vehicle.devices.values():
        if device.kind not in kinds:
            continue
        if device.kind in ("horn", "isolator"):
            return True
        uses = [pin.use for pin in device.pins] + [load.what for load in device.loads]
        if set(signs) & set(words(device.id, device.title, *uses)):
            return True
    return False
