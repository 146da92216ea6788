"""Places, ends of wires and colours in words, for somebody who stands beside the vehicle."""

from __future__ import annotations

from typing import Any

from buildbook.book.fault_wording import place, probe_place
from buildbook.book.formats import number
from buildbook.book.shared_rows import end_text
from buildbook.catalogue.load import colours
from buildbook.description.expand.kinds import said_use
from buildbook.drawing.shared.wire import ink_of
from buildbook.harness.model import End
from buildbook.result import Result
from buildbook.vehicle.model import Device
from buildbook.words.say import say

MIDDLE_M = 0.05
"""Nearer than this to the middle of the vehicle nobody says left or right. Our choice."""


def point_words(result: Result, point: str) -> str:
    """A point of the rope, and where it is by the vehicle's plan, m: 'tank shelf: 2.60 m behind
    the nose, 0.52 m right of the middle, 0.30 m up'."""
    name, plan = point.replace("-", " "), result.vehicle.description.plan
    spot = plan.places.get(point) if plan else None
    if spot is None:
        return name
    back, right, *up = spot
    said = [say("{metres} m behind the nose", metres=number(back))]
    if abs(right) < MIDDLE_M:
        said.append(say("in the middle"))
    elif right > 0:
        said.append(say("{metres} m right of the middle", metres=number(right)))
    else:
        said.append(say("{metres} m left of the middle", metres=number(-right)))
    said += [say("{metres} m up", metres=number(height)) for height in up]
    return f"{name}: {', '.join(said)}"


def device_place(result: Result, device: Device) -> str:
    """Where a device is: on which panel and in which slot, or at which point."""
    if device.panel:
        panel = result.vehicle.devices[device.panel]
        there = panel.title
        if device.written.slot is not None:
            there = say("{panel}, slot {slot}", panel=there, slot=device.written.slot)
        return f"{there}; {point_words(result, device.point)}"
    return point_words(result, device.point)


def end_row(result: Result, end: End) -> dict[str, Any]:
    """An end of a wire: its name and place in words, and the pin, plug or splice to look up."""
    pin = result.vehicle.pins.get(end.node)
    row: dict[str, Any] = {"says": end_text(end), "place": point_words(result, end.point)}
    if end.kind == "splice":
        return row | {"says": say("splice {splice}", splice=end.node), "splice": end.node}
    if end.kind == "capped":
        return row
    row |= {"pin": end.node, "says": probe_place(result, end.node)}
    if pin is not None:
        device = result.vehicle.devices[pin.device]
        row |= {"says": place(end.node), "of": device.title, "place": device_place(result, device)}
        if pin.use:
            row["use"] = said_use(pin.use)
    if end.connector:
        row["plug"] = end.connector
    return row


def colour_row(code: str) -> dict[str, Any]:
    """A wire's colour in letters (IEC 60757), in words and as screen values: body, then tracer."""
    parts = [part for part in code.split("/") if part]
    names = [say(colours()[part][0]) if part in colours() else part for part in parts]
    words = "".join(names[:1])
    if len(names) > 1:
        words = say("{body} with {tracer} stripe", body=names[0], tracer=names[1])
    return {"code": code, "colour": words, "ink": [ink_of(part) for part in parts]}
