"""Kinds as a vehicle of other volts, or of the other post on earth, has them.

The program's kinds are those of 12 V with the negative post earthed. At more volts a thing of the
same watts takes fewer amps, and ohms by the square. What runs at 6 V is weak: it takes half the
amps that it would at 12 V, but for bulbs, which keep their watts; injectors have about the same
ohms everywhere (judgement, no source).
"""

from __future__ import annotations

import re
from typing import Any

from buildbook.description.expand.kinds import built_in
from buildbook.description.quantities import parse
from buildbook.description.yaml_reader import plain

KINDS_FOR_V = 12
OF_ELECTRONICS_V = 6.0
"""A draw that works from less hangs on what a controller gives out, whatever the battery is."""
AMPS = ("amps", "inrush", "stall")
VOLTS = ("at", "works from")


def suited(kind: str, volts: int, is_positive: bool) -> dict[str, Any]:
    """What to write under `kinds` for a kind of the program; empty where it does as it is."""
    told = plain(built_in()[kind])
    assert isinstance(told, dict)
    parent = told.get("kind")
    if "draws" not in told and "coil" not in told and parent in built_in():
        return suited(parent, volts, is_positive)
    ratio = volts / KINDS_FOR_V
    made: dict[str, Any] = {}
    draws = told.get("draws")
    if isinstance(draws, dict):
        named = draws if all(isinstance(draw, dict) for draw in draws.values()) else {"": draws}
        is_injector = parent == "injector"
        found = {n: _draw(draw, ratio, is_positive, is_injector) for n, draw in named.items()}
        found = {name: draw for name, draw in found.items() if draw}
        if found:
            made["draws"] = found.get("", found)
    if ratio != 1 and "coil" in told:
        made["coil"] = {"ohms": _times(told["coil"]["ohms"], ratio * max(ratio, 1))}
    return made


def _draw(
    draw: dict[str, Any], ratio: float, is_positive: bool, is_injector: bool
) -> dict[str, Any]:
    """One draw: its amps with its volts, its ends the other way round where plus is earthed."""
    made: dict[str, Any] = {}
    if is_positive and "from" in draw:
        made |= {"from": draw["to"], "to": draw["from"]}
    if ratio == 1 or parse(draw.get("works from", "12 V"), "V") < OF_ELECTRONICS_V:
        return made
    amps = ratio if ratio < 1 and "watts" not in draw else 1 / ratio
    factors = {
        **dict.fromkeys(AMPS, amps),
        **dict.fromkeys(VOLTS, ratio),
        "ohms": 1.0 if is_injector else ratio / amps,
    }
    for key, factor in factors.items():
        if key in draw and factor != 1:
            made[key] = _times(draw[key], factor)
    return made


def _times(amount: str, factor: float) -> str:
    """A quantity as it is written, its first number so many times as much, to three digits."""
    return re.sub(r"[0-9.]+", lambda found: f"{float(found[0]) * factor:.3g}", amount, count=1)
