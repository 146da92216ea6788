"""Finds contacts that are said to carry far more than the terminals they end on."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.likely import SLIPS
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.description.edited import Edit
from buildbook.figures import significant
from buildbook.vehicle.model import Contact, Device, Pin
from buildbook.words.say import say

RULE = "limit-unlikely"
SEVERITY = "warning"
SOURCE = (
    f"{PRACTICE}: no maker fits a contact with terminals for less than half of its current; the "
    "current of a terminal from the catalogue of contacts"
)
TIMES = 2.0
"""Of what the smaller terminal is good for. Relays of 40 A stand on blades of 6.3 mm, which are
taken for 25 A here. Our choice."""
LEAST_A = 0.02
"""A contact said to carry less than this carries no load. Our choice: reed contacts have 0.1 A."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Hold the limit of each switch and relay against the terminals at its two ends."""
    vehicle = assessed.vehicle
    for device in vehicle.devices.values():
        switches = [c for c in device.contacts if c.kind == "switch"]
        for contact in device.contacts:
            if contact.kind not in ("switch", "relay") or contact.limit_a is None:
                continue
            ends = [vehicle.pins[p] for p in (contact.from_pin, contact.to_pin)]
            least = min(ends, key=lambda pin: pin.contact.amps)
            most_a = TIMES * least.contact.amps
            if LEAST_A <= contact.limit_a <= most_a:
                continue
            path: tuple[str | int, ...] = ("devices", device.id, "rating")
            if contact in switches and len(switches) == len(device.written.contacts):
                path = ("devices", device.id, "contacts", switches.index(contact), "limit")
            yield Finding(
                RULE,
                "warning",
                contact.id,
                _text(device, contact, least),
                _remedy(str(path[-1]), contact.limit_a, most_a),
                SOURCE,
                written_at(vehicle, *path),
                edits=_edits(path, contact.limit_a, most_a),
            )


def _text(device: Device, contact: Contact, least: Pin) -> str:
    limit_a = contact.limit_a or 0.0
    name = called(device.title, contact.id)
    if limit_a < LEAST_A:
        return say(
            "Contact {name} may carry {limit_a} A: that switches no load.",
            name=name,
            limit_a=significant(limit_a, 2),
        )
    return say(
        "Contact {name} is said to carry {limit_a} A, and it ends on a "
        "{contact} at {least} that is good for {amps:g} A: hardly any such "
        "things have that.",
        name=name,
        limit_a=significant(limit_a, 3),
        contact=say(least.contact.title),
        least=least.id,
        amps=least.contact.amps,
    )


def _factor(limit_a: float, most_a: float) -> float:
    """By what one slip makes the limit fit the terminal; 1 where none does."""
    high = limit_a > most_a
    fits = (f for f in SLIPS if (f > 1) == high and most_a / 20 <= limit_a / f <= most_a)
    return next(fits, 1.0)


def _remedy(key: str, limit_a: float, most_a: float) -> str:
    factor = _factor(limit_a, most_a)
    if factor == 1.0:
        return say(
            "Read the switch or its data sheet, and correct `{key}`; if the number is right, "
            "correct the terminals (`contact`, `plug`).",
            key=key,
        )
    return say(
        "Read the switch or its data sheet, and correct `{key}`, perhaps to {perhaps_a} A; if the "
        "number is right, correct the terminals (`contact`, `plug`).",
        key=key,
        perhaps_a=significant(limit_a / factor, 3),
    )


def _edits(path: tuple[str | int, ...], limit_a: float, most_a: float) -> tuple[Edit, ...]:
    factor = _factor(limit_a, most_a)
    return () if factor == 1.0 else ((path, limit_a / factor),)
