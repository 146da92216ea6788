"""Finds pickups and switches whose volts the controller takes for neither low nor high."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import decimals

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
                f"{device.title} with '{row.when}' puts {decimals(row.volts.low, 2)} to "
                f"{decimals(row.volts.high, 2)} V on {table.meter_pin}; not all of it reads "
                "as low or as high.",
                "Shorten or enlarge the return, ground the sensor at the controller, or choose a "
                "pull-up that suits what the sensor leaves.",
                SOURCE,
                device.where,
            )
