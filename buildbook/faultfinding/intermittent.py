"""What comes and goes: where a symptom can come from under heat, movement and wet, in order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import fsum

from buildbook.faultfinding.faults import weight
from buildbook.faultfinding.model import Fault
from buildbook.faultfinding.whereabouts import HOT_C, Whereabouts
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Run, Vehicle
from buildbook.words.say import say

LOOSENS = {
    "moving": 4.0,
    "hot": 2.0,
    "wet, not sealed": 3.0,
    "wet": 0.5,
    "tight bend": 0.5,
    "through a hole": 1.0,
    "no clamp": 0.5,
    "near hot parts": 1.0,
    "splice": 0.5,
}
"""How much more often a joint or a wire fails now and then, for each thing that it is exposed to.
Our choice."""

TIGHT_M = 0.1
"""A bend with less radius works its wires. Our choice."""
NEAR_HOT_M = 0.15
"""Unshielded this near to a turbocharger or an exhaust. Our choice."""
LONG_M = 0.3
"""A run of this length without a clamp swings. Our choice."""
COMES_AND_GOES = ("open", "resistive", "short")
"""What a loose joint or a chafed wire does."""


def reason_words(reason: str) -> str:
    """One of `LOOSENS`, as it is printed."""
    words = {
        "moving": say("moving", context="why a joint works loose"),
        "hot": say("hot", context="why a joint works loose"),
        "wet, not sealed": say("wet, not sealed", context="why a joint works loose"),
        "wet": say("wet", context="why a joint works loose"),
        "tight bend": say("tight bend", context="why a joint works loose"),
        "through a hole": say("through a hole", context="why a joint works loose"),
        "no clamp": say("no clamp", context="why a joint works loose"),
        "near hot parts": say("near hot parts", context="why a joint works loose"),
        "splice": say("splice", context="why a joint works loose"),
    }
    return words[reason]


@dataclass(frozen=True)
class Wiggle:
    """A place to wiggle: how it is called, why there, and the faults that it would make."""

    where: str
    point: str
    """'' for a run of rope."""
    kind: str
    """plug, run, ground, fuse, relay, device"""
    why: tuple[str, ...]
    faults: tuple[str, ...]
    score: float


def wiggles(vehicle: Vehicle, harness: Harness, faults: Iterable[Fault]) -> tuple[Wiggle, ...]:
    """Places where faults may come and go, the most likely first."""
    whereabouts = Whereabouts(vehicle, harness)
    places: dict[str, list[Fault]] = {}
    about: dict[str, tuple[str, str, tuple[str, ...]]] = {}
    for fault in faults:
        if fault.mode in COMES_AND_GOES:
            for where, point, kind, why in _places(whereabouts, fault):
                places.setdefault(where, []).append(fault)
                about[where] = point, kind, why
    found = [
        Wiggle(
            where,
            *about[where],
            tuple(dict.fromkeys(fault.id for fault in those)),
            _score(those, about[where][2]),
        )
        for where, those in places.items()
    ]
    return tuple(sorted(found, key=lambda spot: (-spot.score, spot.where)))


def _score(faults: Sequence[Fault], why: Iterable[str]) -> float:
    likeliest = max(weight(fault) for fault in faults)
    return likeliest * (1.0 + fsum(LOOSENS[reason] for reason in why))


def _places(where: Whereabouts, fault: Fault) -> list[tuple[str, str, str, tuple[str, ...]]]:
    """Where somebody wiggles for a fault: in words, its point, its kind, what it is exposed to."""
    kind, _, ref = fault.branch.partition(":")
    device, point = ref.partition(".")[0], where.point_of(fault)
    runs = where.runs_of(fault)
    if kind == "wire":
        return [
            (_rope(run.from_point, run.to_point), "", "run", along(where.vehicle, run))
            for run in runs
        ]
    exposed = _at(where, point, runs)
    if kind == "ground":
        return [(say("ring and bolt of {ground}", ground=device), point, "ground", exposed)]
    if kind == "fuse":
        return [(_fuse(device), point, "fuse", exposed)]
    if kind == "pin":
        return [(_plug(where, ref, device), point, "plug", _sealing(where, ref, exposed))]
    if kind in ("contact", "load") and device in where.vehicle.devices:
        own = where.vehicle.devices[device].kind
        what = "relay" if own == "relay" else "device"
        return [(say("{device} itself, tapped", device=device), point, what, exposed)]
    return []


def _rope(start: str, end: str) -> str:
    return say("rope {start} to {end}", start=start, end=end)


def _fuse(name: str) -> str:
    return say("fuse {fuse} in its seat", fuse=name)


def _plug(where: Whereabouts, pin: str, device: str) -> str:
    known = where.vehicle.pins.get(pin)
    own = where.vehicle.devices[device].kind if device in where.vehicle.devices else ""
    if known is not None and known.stud:
        return say("nut at {pin}", pin=pin)
    if own == "fuse":
        return _fuse(device)
    if own == "relay":
        return say("relay {relay} in its foot", relay=device)
    return say("plug of {device}", device=device)


def _at(where: Whereabouts, point: str, runs: Sequence[Run]) -> tuple[str, ...]:
    """What a point is exposed to: the air of its zone, and a rope that moves there."""
    zone = where.vehicle.description.zones.get(where.zone_of_point(point))
    if zone is None:
        return ()
    zones = where.vehicle.description.zones
    found = ["moving"] if any(zones[run.zone].moving for run in runs) else []
    found += ["hot"] if zone.ambient >= HOT_C else []
    return (*found, *(["wet"] if zone.wet else []))


def _sealing(where: Whereabouts, pin: str, exposed: tuple[str, ...]) -> tuple[str, ...]:
    """A plug without seals in the wet is worse off; a stud has none and is no plug."""
    known = where.vehicle.pins.get(pin)
    sealed = where.sealed(pin) or (known is not None and known.stud)
    return tuple("wet, not sealed" if why == "wet" and not sealed else why for why in exposed)


def along(vehicle: Vehicle, run: Run) -> tuple[str, ...]:
    """What a run of rope is exposed to."""
    zone = vehicle.description.zones[run.zone]
    facts = {
        "moving": zone.moving,
        "hot": zone.ambient >= HOT_C,
        "wet": zone.wet,
        "tight bend": run.bend_m is not None and run.bend_m < TIGHT_M,
        "through a hole": run.grommet_m is not None,
        "near hot parts": run.from_heat_m is not None and run.from_heat_m < NEAR_HOT_M,
        "no clamp": not run.clamps and run.length_m >= LONG_M,
    }
    return tuple(why for why, true in facts.items() if true)
