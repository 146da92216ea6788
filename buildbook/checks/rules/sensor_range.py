"""Finds sensors whose volts do not suit the range of the input that reads them."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.description import models as written
from buildbook.electrical.model import SensorTable
from buildbook.figures import decimals
from buildbook.words.say import say

RULE = "sensor-range"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: a reading moves over a good part of its input's range and stays within it"
LAWS = frozenset({"ntc", "platinum", "ohms", "volts", "current"})
"""Characteristics that are read as volts; a pickup and a switch have levels instead."""
LEAST_SHARE = 0.05
"""Of the input's range, from the first reading to the last: less, and the display shows steps and
noise. Our choice."""
ABOVE_V = 0.25
"""Over the input's range: what tolerances of supply and sensor may add to a full reading."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Hold what each analogue sensor gives against the volts that its input is read over."""
    for table in assessed.sensors.tables:
        read = _input(assessed, table.meter_pin)
        spans = [row.volts for row in table.rows if row.volts is not None]
        if read is None or table.law not in LAWS or len(spans) < 2:
            continue
        device = assessed.vehicle.devices[table.device]
        least, most = min(s.nominal for s in spans), max(s.nominal for s in spans)
        if most > read.to + ABOVE_V:
            text = say(
                "{device} gives up to {most} V; its input {pin} reads no more than {to:g} V.",
                device=device.title,
                most=decimals(most, 2),
                pin=table.meter_pin,
                to=read.to,
            )
            remedy = say(
                "Take another input, a sensor made for its volts, or divide its signal down."
            )
        elif most - least < LEAST_SHARE * read.to:
            text = say(
                "{device} moves its input {pin} only from {least} to {most} V over all that it "
                "measures; {wanted} V or more is wanted to read it by.",
                device=device.title,
                pin=table.meter_pin,
                least=decimals(least, 2),
                most=decimals(most, 2),
                wanted=decimals(LEAST_SHARE * read.to, 2),
            )
            remedy = _too_flat(read, table)
        else:
            continue
        yield Finding(
            RULE,
            "warning",
            table.pin,
            text,
            remedy,
            SOURCE,
            device.where,
        )


def _input(assessed: Assessed, pin: str) -> written.Input | None:
    device_id, _, name = pin.partition(".")
    device = assessed.vehicle.devices.get(device_id)
    return device.written.inputs.get(name) if device else None


def _too_flat(read: written.Input, table: SensorTable) -> str:
    if read.pull_up is None:
        return say(
            "Compare the sensor's points with its data sheet, or choose one of a smaller range."
        )
    return say(
        "Compare the pull-up of {pin}, written as {ohms:g} ohm, and the sensor's points with their "
        "data sheets: a pull-up is of the order of the sensor itself.",
        pin=table.meter_pin,
        ohms=read.pull_up,
    )
