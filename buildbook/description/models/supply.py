"""Battery and alternator."""

from __future__ import annotations

from pydantic import Field

from buildbook.description.models.base import Name, Section
from buildbook.description.quantities import (
    CapacityAh,
    CurrentA,
    ResistanceOhm,
    Share,
    SpeedRpm,
    TemperatureC,
    TimeH,
    VoltageV,
)


class Battery(Section):
    between: tuple[Name, Name]
    volts: VoltageV = 12.7
    resistance: ResistanceOhm = 0.008
    capacity: CapacityAh = 40.0
    charge: CurrentA = 5.0
    """What the full battery takes at the alternator's regulated voltage."""
    rated_over: TimeH = 20.0
    """Hours over which `capacity` was measured."""
    peukert: float = Field(default=1.2, ge=1, le=2)
    """Exponent of the discharge law: 1.1 to 1.3 with liquid acid, about 1.05 for lithium."""
    usable: Share = 0.5
    """Share of the capacity that may go before the engine is no longer sure to start."""
    accepts: CurrentA | None = None
    """Most that the half-empty battery takes; default a quarter of its capacity an hour."""
    efficiency: Share = 0.85
    """Share of the charge put in that comes out again."""


class Alternator(Section):
    between: tuple[Name, Name]
    volts: VoltageV = 14.2
    resistance: ResistanceOhm = 0.01
    curve: list[tuple[SpeedRpm, CurrentA]]
    """Output current against engine speed, rising; no output below the first speed."""
    curve_at: TemperatureC = 25.0
    """Air temperature at which the curve holds."""
    per_kelvin: Share = 0.0
    """Share of the output lost for every degree that its place is hotter than that."""


class Supply(Section):
    battery: Battery
    alternator: Alternator | None = None
