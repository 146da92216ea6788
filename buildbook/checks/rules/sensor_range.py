"""Finds sensors whose volts do not suit the range of the input that reads them."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.description import models as written
from buildbook.electrical.model import SensorTable
from buildbook.figures import decimals

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
            what = (
                f"{device.title} gives up to {decimals(most, 2)} V; its input {table.meter_pin} "
                f"reads no more than {read.to:g} V"
            )
            remedy = "Take another input, a sensor made for its volts, or divide its signal down."
        elif most - least < LEAST_SHARE * read.to:
            what = (
                f"{device.title} moves its input {table.meter_pin} only from "
                f"{decimals(least, 2)} to {decimals(most, 2)} V over all that it measures; "
                f"{decimals(LEAST_SHARE * read.to, 2)} V or more is wanted to read it by"
            )
            remedy = _too_flat(read, table)
        else:
            continue
        yield Finding(RULE, "warning", table.pin, f"{what}.", remedy, SOURCE, device.where)


def _input(assessed: Assessed, pin: str) -> written.Input | None:
    device_id, _, name = pin.partition(".")
    device = assessed.vehicle.devices.get(device_id)
    return device.written.inputs.get(name) if device else None


def _too_flat(read: written.Input, table: SensorTable) -> str:
    if read.pull_up is None:
        return "Compare the sensor's points with its data sheet, or choose one of a smaller range."
    return (
        f"Compare the pull-up of {table.meter_pin}, written as {read.pull_up:g} ohm, and the "
        "sensor's points with their data sheets: a pull-up is of the order of the sensor itself."
    )
