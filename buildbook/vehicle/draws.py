"""Loads: what a device draws between two of its pins, and what it takes when switched on."""

from __future__ import annotations

import re
from typing import Any

from buildbook.description import models as written
from buildbook.description.amounts import InrushA, InrushS
from buildbook.vehicle.branches import Branches, DeviceScope
from buildbook.vehicle.draw_behaviour import behaviour
from buildbook.vehicle.model import Load
from buildbook.vehicle.scope import Path

WORKS_FROM_SHARE = 0.75
"""A load is taken to work from 9 V of 12 V: ISO 16750-2 supply code C (from memory)."""


def add_draws(own: DeviceScope, found: Branches) -> None:
    """The loads of a device; draws that make no sense are noted."""
    draws = own.device.draws
    has_coil = own.device.kind == "relay"
    for index, draw in enumerate(draws):
        at = ("draws", index)
        ends = _ends(own, draw, at)
        ohms, amps = _ohms(own, draw, at)
        inrush_a, inrush_s = _inrush(own, draw, at, amps)
        states = own.scope.states(draw.in_, (*own.path, *at, "in"))
        if ends is None or ohms is None:
            continue
        single = len(draws) == 1 and not has_coil
        works_from = draw.works_from
        found.loads.append(
            Load(
                id=found.name("load", own.id if single else ends[0]),
                device=own.id,
                from_pin=ends[0],
                to_pin=ends[1],
                ohms=ohms,
                duty=draw.duty,
                states=states,
                works_from_v=(
                    WORKS_FROM_SHARE * _volts_given(own, ends[0], ohms)
                    if works_from is None
                    else works_from
                ),
                inrush_a=inrush_a,
                inrush_s=inrush_s,
                what=draw.what,
                critical=own.device.critical,
                rated_a=amps,
                frequency_hz=draw.frequency,
                behaviour=behaviour(own, draw, at, amps, inrush_a),
                **_electronics(own, ends),
            )
        )


def _electronics(own: DeviceScope, ends: tuple[str, str]) -> dict[str, Any]:
    """What controls a draw of a device between its own feeds and grounds; nothing for others."""
    power = own.device.power
    if power is None:
        return {}
    feeds, grounds = ({f"{own.id}.{name}" for name in p} for p in (power.feeds, power.grounds))
    if ends[0] not in feeds or ends[1] not in grounds:
        return {}
    return {"control": ends, "control_v": power.works_from}


def _volts_given(own: DeviceScope, pin: str, ohms: float) -> float:
    """What a load of some ohms has at its pin: of the controller that feeds it there, else nominal.

    A controller's regulated voltage stands there as it is; its pull-up and the load divide theirs.
    """
    description = own.scope.description
    for other in own.scope.joined_with(pin):
        device, _, name = other.rpartition(".")
        fed_by = description.devices.get(device)
        if fed_by is None or device == own.id:
            continue
        if name in fed_by.sources:
            return fed_by.sources[name].volts
        given = fed_by.inputs.get(name)
        if given is not None and given.pull_up:
            return given.to * ohms / (ohms + given.pull_up)
    return own.nominal_v


def _ends(own: DeviceScope, draw: written.Draw, at: Path) -> tuple[str, str] | None:
    power = own.device.power
    usable = [pin.name for pin in own.pins.values() if not pin.unused]
    first, second = draw.from_, draw.to
    if power:
        first, second = first or power.feeds[0], second or power.grounds[0]
    elif first is None or second is None:
        if len(usable) != 2:
            own.scope.say(
                (*own.path, *at),
                f"`{own.id}` has {len(usable)} pins; the draw does not say between which two",
                "",
                "give `from` and `to`",
            )
            return None
        first = first or next(name for name in usable if name != second)
        second = second or next(name for name in usable if name != first)
    one, other = own.pin(first, *at, "from"), own.pin(second, *at, "to")
    if one is not None and one == other:
        own.scope.say((*own.path, *at), f"the draw of `{own.id}` starts and ends at {one}")
        return None
    return (one, other) if one and other else None


def _ohms(own: DeviceScope, draw: written.Draw, at: Path) -> tuple[float | None, float]:
    """Ohms while on, and the current at the stated voltage."""
    path, volts = (*own.path, *at), draw.at or own.nominal_v
    stated = {"amps": draw.amps, "watts": draw.watts, "ohms": draw.ohms}
    given = {key: value for key, value in stated.items() if value is not None}
    if not given:
        own.scope.say(
            path,
            f"a draw of `{own.id}` has neither `amps` nor `watts` nor `ohms`",
            "its current cannot be worked out",
            "give one of them",
        )
        return None, 0.0
    if len(given) > 1:
        several = ("both " if len(given) == 2 else "") + " and ".join(f"`{key}`" for key in given)
        own.scope.say(
            (*path, list(given)[-1]), f"a draw of `{own.id}` has {several}", "", "keep one"
        )
        return None, 0.0
    ((key, value),) = given.items()
    amps = {"amps": value, "watts": value / volts, "ohms": volts / value}[key]
    return volts / amps, amps


def _inrush(own: DeviceScope, draw: written.Draw, at: Path, amps: float) -> tuple[float, float]:
    """Amps and seconds when switched on; zeros where none is given or it makes no sense."""
    if draw.inrush is None:
        return 0.0, 0.0
    match = re.fullmatch(r"(.+?)\s+for\s+(.+)", draw.inrush.strip())
    try:
        if match:
            inrush_a, inrush_s = InrushA.read(match[1]), InrushS.read(match[2])
            if inrush_a >= amps:
                return inrush_a, inrush_s
            said = f"{inrush_a:g} A is less than the {amps:g} A that it draws"
        else:
            said = f"'{draw.inrush}' is not written as a current and a time"
    except ValueError as error:
        said = str(error).partition(";")[0]
    own.scope.say(
        (*own.path, *at, "inrush"),
        f"`inrush` of `{own.id}`: {said}",
        "",
        "write for example `inrush: 24 A for 150 ms`",
    )
    return 0.0, 0.0
