"""Places, ends of wires and colours in words, for somebody who stands beside the vehicle."""

from __future__ import annotations

from typing import Any

from buildbook.book.fault_wording import place, probe_place
from buildbook.book.formats import number
from buildbook.book.shared_rows import end_text
from buildbook.catalogue.load import colours
from buildbook.drawing.shared.wire import ink_of
from buildbook.harness.model import End
from buildbook.result import Result
from buildbook.vehicle.model import Device

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
    said = [f"{number(back)} m behind the nose"]
    if abs(right) < MIDDLE_M:
        said.append("in the middle")
    else:
        said.append(f"{number(abs(right))} m {'right' if right > 0 else 'left'} of the middle")
    said += [f"{number(height)} m up" for height in up]
    return f"{name}: {', '.join(said)}"


def device_place(result: Result, device: Device) -> str:
    """Where a device is: on which panel and in which slot, or at which point."""
    if device.panel:
        panel = result.vehicle.devices[device.panel]
        slot = f", slot {device.written.slot}" if device.written.slot is not None else ""
        return f"{panel.title}{slot}; {point_words(result, device.point)}"
    return point_words(result, device.point)


def end_row(result: Result, end: End) -> dict[str, Any]:
    """An end of a wire: its name and place in words, and the pin, plug or splice to look up."""
    pin = result.vehicle.pins.get(end.node)
    row: dict[str, Any] = {"says": end_text(end), "place": point_words(result, end.point)}
    if end.kind == "splice":
        return row | {"says": f"splice {end.node}", "splice": end.node}
    if end.kind == "capped":
        return row
    row |= {"pin": end.node, "says": probe_place(result, end.node)}
    if pin is not None:
        device = result.vehicle.devices[pin.device]
        row |= {"says": place(end.node), "of": device.title, "place": device_place(result, device)}
        if pin.use:
            row["use"] = pin.use
    if end.connector:
        row["plug"] = end.connector
    return row


def colour_row(code: str) -> dict[str, Any]:
    """A wire's colour in letters (IEC 60757), in words and as screen values: body, then tracer."""
    parts = [part for part in code.split("/") if part]
    names = [colours()[part][0] if part in colours() else part for part in parts]
    words = f"{names[0]} with {names[1]} stripe" if len(names) > 1 else "".join(names)
    return {"code": code, "colour": words, "ink": [ink_of(part) for part in parts]}
