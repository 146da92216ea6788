"""What sensors give and what a meter shows of it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from buildbook.description.amounts import (
    BetaK,
    CurrentA,
    NoCurrentA,
    NoResistanceOhm,
    NoVoltageV,
    ResistanceOhm,
    Share,
    SignalV,
    SpeedRpm,
    TemperatureC,
    Tolerance,
    VoltageV,
)
from buildbook.description.models.base import Name, Section, Title
from buildbook.description.quantities import MeasuredValue

Coefficient = Annotated[float, Field(ge=-10, le=10)]
"""Those of thermistors are thousandths and less."""


class ExpectedReading(Section):
    """What a sensor shows on a pin: 'cold 20 degC: 2.50 V'."""

    pin: Name
    when: Title
    expect: Title


class Thermistor(Section):
    """NTC: `ohms` at a temperature and a B value, two or three points, or coefficients."""

    ohms: ResistanceOhm | None = None
    at: TemperatureC = 25.0
    beta: BetaK | None = None
    beta_tolerance: Tolerance = 0.0
    points: list[tuple[TemperatureC, ResistanceOhm]] = []
    coefficients: tuple[Coefficient, Coefficient, Coefficient] | None = None
    """A, B, C of Steinhart and Hart."""
    tolerance: Tolerance = 0.05
    """Of the resistance, at every temperature."""


class Platinum(Section):
    """Platinum thermometer (IEC 60751): ohms at 0 degC and tolerance class."""

    ohms: ResistanceOhm = 100.0
    class_: Literal["AA", "A", "B", "C"] = "B"


class Output(Section):
    """A voltage that follows what is measured, straight between the points."""

    points: list[tuple[MeasuredValue, SignalV]]
    of: VoltageV | None = None
    """Supply at which the points hold, where the output follows it (ratiometric)."""
    tolerance: Tolerance = 0.02
    """Of the span between the first and the last point."""
    through: NoResistanceOhm = 0.0
    """Resistance of the output stage."""
    track: ResistanceOhm | None = None
    """End to end resistance of a potentiometer's track."""


class Sender(Section):
    """A resistance that follows what is measured, straight between the points."""

    points: list[tuple[MeasuredValue, NoResistanceOhm]]
    tolerance: Tolerance = 0.05
    """Of the resistance."""


class CurrentOutput(Section):
    """A current that follows what is measured, into a resistor in the controller."""

    points: list[tuple[MeasuredValue, NoCurrentA]]
    into: ResistanceOhm = 250.0
    into_tolerance: Tolerance = 0.01
    tolerance: Tolerance = 0.01
    """Of the span between the first and the last point."""


class Pickup(Section):
    """Hall pickup with an open collector: pulls the pin low while `on`."""

    on: Title = "target in front of the sensor"
    off: Title = "nothing in front of the sensor"
    low: NoVoltageV = 0.4
    """Most that is left on the output while it pulls low."""
    leak: CurrentA = 1e-5
    """Most that flows into the output while it is off."""


class Inductive(Section):
    """Coil and magnet: resistance cold, and alternating volts at a speed."""

    ohms: ResistanceOhm
    tolerance: Tolerance = 0.1
    volts: VoltageV | None = None
    """Root mean square, unloaded, at the speed `at`; in proportion at other speeds."""
    at: SpeedRpm = 300.0
    volts_tolerance: Tolerance = 0.3


class Position(Section):
    """What a switch is called open and closed."""

    closed: Title = "closed"
    open: Title = "open"


class Signal(Section):
    """What a sensor gives on one of its pins: one of the characteristics below."""

    return_: Name | None = None
    """Pin that it is measured against; default the other of two pins."""
    supply: Name | None = None
    """Pin that feeds it, where the output follows its supply."""
    ntc: Thermistor | None = None
    platinum: Platinum | None = None
    ohms: Sender | None = None
    volts: Output | None = None
    current: CurrentOutput | None = None
    hall: Pickup | None = None
    inductive: Inductive | None = None
    switch: Position | None = None
    show: list[MeasuredValue] = []
    """Values for which the book gives the reading, the one at rest first; default the points."""
    state: Name | None = None
    """Operating state of the readings; default the first in which the pin is alive."""


class Pair(Section):
    """Two tracks that a controller holds against each other."""

    tracks: tuple[Name, Name]
    sum: VoltageV | None = None
    ratio: float | None = Field(default=None, ge=0.001, le=1000)
    """First over second."""
    within: Share = 0.05
    """What the controller allows before it takes them to disagree."""
