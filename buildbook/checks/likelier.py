"""Which of several mends that do as well is likelier: by names, systems, and what it stops."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from buildbook.checks.meant import Wrong
from buildbook.checks.mends_of_entries import Mend
from buildbook.checks.naming import words
from buildbook.vehicle.model import Load, Vehicle

SERVES_ALL = frozenset({"ground", "fuse", "panel", "battery", "pass-through"})
COMMON = frozenset({"to", "the", "of", "for", "in", "on", "a", "and", "out", "pin", "output"})
"""Words of uses and names that tell nothing."""
HOME = 0.5
"""Ranks by which a mend within a system goes before one across, of two that do as well."""


def others(vehicle: Vehicle, wrong: Iterable[Wrong]) -> list[Load]:
    """Loads with which nothing is wrong: a mend that stops one is less likely."""
    named = {w.load for w in wrong}
    return [x for d in vehicle.devices.values() for x in d.loads if x.id not in named]


def at_home(vehicle: Vehicle, mend: Mend) -> int:
    """1 where a mend brings pins to circuits of their devices' systems, -1 where it parts them."""
    return max(-1, min(1, _gain(vehicle, mend, _homely)))


def agreement(vehicle: Vehicle, mend: Mend) -> int:
    """How many more pins say what they are joined with after a mend than before."""
    return _gain(vehicle, mend, _agree)


def _gain(vehicle: Vehicle, mend: Mend, score: Callable[[Vehicle, Sequence[str], str], int]) -> int:
    """By how much the circuits that a mend changes score higher after it."""
    changed = mend.mended.joins
    before = [c for c in changed if c in vehicle.circuits]
    return sum(score(vehicle, pins, c) for c, pins in changed.items()) - sum(
        score(vehicle, [p.id for p in vehicle.circuits[c].pins], c) for c in before
    )


def _homely(vehicle: Vehicle, pins: Sequence[str], circuit: str) -> int:
    """How many pins of a circuit are of devices of its system; what serves many systems aside."""
    if circuit not in vehicle.circuits:
        return 0
    system = vehicle.circuits[circuit].system
    devices = (vehicle.devices[vehicle.pins[p].device] for p in pins if p in vehicle.pins)
    return sum(d.system == system for d in devices if d.kind not in SERVES_ALL)


def _agree(vehicle: Vehicle, pins: Sequence[str], circuit: str) -> int:
    """Words that uses of a circuit's pins share with its name and with what they are joined to."""
    count = 0
    for pin in pins:
        if pin not in vehicle.pins:
            continue
        use = set(words(vehicle.pins[pin].use)) - COMMON
        for other in pins:
            if other == pin or other not in vehicle.pins:
                continue
            device = vehicle.devices[vehicle.pins[other].device]
            beside = set(words(device.id, device.title, vehicle.pins[other].use)) - COMMON
            count += len(use & beside)
        count += len(use & (set(words(circuit)) - COMMON))
    return count
