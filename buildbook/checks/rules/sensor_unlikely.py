"""Finds sensors whose own ohms disagree with what they give, or that no coil has."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.likely import Range, likely, with_slip
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.description import models as written
from buildbook.figures import significant
from buildbook.vehicle.model import Device, Load, Signal, Vehicle
from buildbook.words.say import say

RULE = "sensor-unlikely"
SEVERITY = "warning"
SOURCE = f"this description says it twice, in `draws` and in `gives`; {PRACTICE} for coils"
BETWEEN = 2.0
"""Times that the ohms of a draw may lie beside those of its characteristic. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Hold each draw of a sensor against the characteristic between the same two pins."""
    vehicle = assessed.vehicle
    for device in vehicle.devices.values():
        for signal in device.signals:
            yield from _coil(vehicle, device, signal)
            if len(device.loads) != len(device.written.draws):
                continue
            for index, load in enumerate(device.loads):
                said = _ohms(signal, load)
                if not said or said[0] / BETWEEN <= load.ohms <= said[1] * BETWEEN:
                    continue
                yield _finding(vehicle, device, index, load, said)


def _finding(
    vehicle: Vehicle, device: Device, index: int, load: Load, said: tuple[float, float]
) -> Finding:
    text = (
        say(
            "{device} draws as {ohms} ohm, and what it gives says {given} ohm between the same "
            "pins.",
            device=called(device.title, load.id),
            ohms=significant(load.ohms, 3),
            given=significant(said[0], 3),
        )
        if said[0] == said[1]
        else say(
            "{device} draws as {ohms} ohm, and what it gives says {least} to {most} ohm between "
            "the same pins.",
            device=called(device.title, load.id),
            ohms=significant(load.ohms, 3),
            least=significant(said[0], 3),
            most=significant(said[1], 3),
        )
    )
    slip = Range(said[0] / BETWEEN, said[1] * BETWEEN, "ohm", "").slip(load.ohms)
    return Finding(
        RULE,
        "warning",
        load.id,
        with_slip(text, slip),
        say("Measure it between these pins, and correct `draws` or `gives`, whichever is wrong."),
        SOURCE,
        written_at(vehicle, "devices", device.id, "draws", index),
    )


def _ohms(signal: Signal, load: Load) -> tuple[float, float] | None:
    """Least and most ohms between a draw's pins, as the signal says; None where it says none."""
    said, ends = signal.written, {load.from_pin, load.to_pin}
    if ends == {signal.supply_pin, signal.return_pin} and said.volts and said.volts.track:
        return said.volts.track, said.volts.track
    if ends != {signal.pin, signal.return_pin}:
        return None
    found: list[float] = []
    if said.inductive:
        found = [said.inductive.ohms]
    elif said.ntc:
        found = [ohms for _, ohms in said.ntc.points] or [said.ntc.ohms or 0.0]
    elif said.ohms:
        found = [ohms for _, ohms in said.ohms.points]
    found = [ohms for ohms in found if ohms > 0]
    return (min(found), max(found)) if found else None


def _coil(vehicle: Vehicle, device: Device, signal: Signal) -> Iterator[Finding]:
    said: written.Inductive | None = signal.written.inductive
    row = likely()["pickup coil", "ohm"]
    if said is None or row.holds(said.ohms):
        return
    name = signal.pin.removeprefix(f"{device.id}.")
    text = say(
        "The coil of {device} has {ohms} ohm: such things have {least:g} to {most:g} ohm.",
        device=called(device.title, device.id),
        ohms=significant(said.ohms, 3),
        least=row.least,
        most=row.most,
    )
    yield Finding(
        RULE,
        "warning",
        signal.pin,
        with_slip(text, row.slip(said.ohms)),
        say("Measure it between its two pins, and correct `ohms` of `inductive`."),
        say(row.source),
        written_at(vehicle, "devices", device.id, "gives", name),
    )
