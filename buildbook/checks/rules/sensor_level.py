"""Finds pickups and switches whose volts the controller takes for neither low nor high."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.electrical.conditions import condition_words
from buildbook.figures import decimals
from buildbook.words.say import say

RULE = "sensor-level"
SEVERITY = "warning"
SOURCE = "low and high of the controller's input, in this description"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at each reading that a digital input has levels for."""
    for table in assessed.sensors.tables:
        device = assessed.vehicle.devices[table.device]
        for row in table.rows:
            if row.level != "between" or row.volts is None:
                continue
            yield Finding(
                RULE,
                "warning",
                table.pin,
                say(
                    "{device} with '{when}' puts {low} to {high} V on {pin}; not all of "
                    "it reads as low or as high.",
                    device=device.title,
                    when=condition_words(row.when),
                    low=decimals(row.volts.low, 2),
                    high=decimals(row.volts.high, 2),
                    pin=table.meter_pin,
                ),
                _remedy(assessed, table.meter_pin),
                SOURCE,
                device.where,
            )


def _remedy(assessed: Assessed, pin: str) -> str:
    """The levels themselves, where what pulls the input up does not reach them."""
    device, _, name = pin.partition(".")
    owner = assessed.vehicle.devices.get(device)
    read = owner.written.inputs.get(name) if owner else None
    if read and read.pull_up is not None and read.high is not None and read.high > read.to:
        return say(
            "Correct `high` of {pin}: its own pull-up leads to {to:g} V, and {high:g} V is above "
            "that; or correct the volts that it leads to (`to`).",
            pin=pin,
            to=read.to,
            high=read.high,
        )
    return say(
        "Shorten or enlarge the return, ground the sensor at the controller, or choose a "
        "pull-up that suits what the sensor leaves."
    )
