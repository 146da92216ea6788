"""Finds one of several things alike whose current or ohms are off by a power of ten."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from buildbook.checks.left_and_right import TWINS
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.vehicle.model import Device, Load
from buildbook.words.say import say

RULE = "twins-unequal"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: two lamps with one plug and the same pins are bought as a pair"
NEAR = 0.2
"""Share by which a factor may miss a power of ten. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare draws that are alike in all but their size: pins, plug, states, volts, inrush."""
    vehicle = assessed.vehicle
    groups: dict[tuple[object, ...], list[tuple[Device, Load, int]]] = {}
    for device in vehicle.devices.values():
        if device.kind not in TWINS or not device.written.plug:
            continue
        if len(device.loads) != len(device.written.draws):
            continue
        pins = tuple((pin.name, pin.use) for pin in device.pins)
        for index, load in enumerate(device.loads):
            ends = tuple(p.removeprefix(f"{device.id}.") for p in (load.from_pin, load.to_pin))
            else_alike = (load.states, load.works_from_v, load.inrush_a, load.inrush_s, load.duty)
            alike = (device.kind, device.written.plug, device.system, pins, ends, else_alike)
            groups.setdefault(alike, []).append((device, load, index))
    for group in groups.values():
        usual = _usual([load.rated_a for _, load, _ in group])
        for device, load, index in group:
            others = [x for _, x, _ in group if x is not load and _is_near(x.rated_a, usual)]
            factor = _power_of_ten(load.rated_a, usual)
            if not others or factor == 1.0:
                continue
            draw = device.written.draws[index]
            key = next(k for k in ("amps", "watts", "ohms") if getattr(draw, k) is not None)
            path = ("devices", device.id, "draws", index, key)
            number = getattr(draw, key)
            yield Finding(
                RULE,
                "warning",
                load.id,
                _text(called(device.title, load.id), load.rated_a, others[0].id, usual, factor),
                say(
                    "Read both labels, and correct `{key}` of the one that is wrong.",
                    key=key,
                ),
                SOURCE,
                written_at(vehicle, *path),
                edits=((path, number * factor if key == "ohms" else number / factor),),
            )


def _usual(amps: list[float]) -> float:
    """What most take; of two the larger, because a slip is found by either."""
    return max(amps, key=lambda a: (sum(_is_near(a, x) for x in amps), a))


def _is_near(one: float, other: float) -> bool:
    return other > 0 and abs(one / other - 1) <= NEAR


def _power_of_ten(amps: float, usual: float) -> float:
    """10, 0.1, 100 and so on, by which a current is off; 1 where by none."""
    if amps <= 0 or usual <= 0:
        return 1.0
    factor = 10.0 ** round(math.log10(amps / usual))
    return factor if factor != 1.0 and _is_near(amps, factor * usual) else 1.0


def _text(name: str, amps: float, other: str, usual: float, factor: float) -> str:
    said: dict[str, Any] = {
        "device": name,
        "amps": significant(amps, 3),
        "other": other,
        "usual": significant(usual, 3),
        "factor": max(factor, 1 / factor),
    }
    if factor > 1:
        return say(
            "{device} takes {amps} A, and {other}, which is alike, {usual} A: {factor:g} times as "
            "much, as when the decimal point or a unit slipped.",
            **said,
        )
    return say(
        "{device} takes {amps} A, and {other}, which is alike, {usual} A: {factor:g} times less, "
        "as when the decimal point or a unit slipped.",
        **said,
    )
