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
    TemperatureC,
    Tolerance,
    TurningRpm,
    VoltageV,
)
from buildbook.description.models.base import Name, Section, Title
from buildbook.description.quantities import MeasuredValue

Coefficient = Annotated[float, Field(ge=-10, le=10)]
"""Those of thermistors are thousandths and less."""


class ExpectedReading(Section):
    """What a sensor shows on a pin: 'cold 20 degC: 2.50 V'."""

    pin: Name
    """Where."""
    when: Title
    """Under which circumstances."""
    expect: Title
    """What the meter shows."""


class Thermistor(Section):
    """NTC: `ohms` at a temperature and a B value, two or three points, or coefficients."""

    ohms: ResistanceOhm | None = None
    """At `at`."""
    at: TemperatureC = 25.0
    """Temperature of `ohms`."""
    beta: BetaK | None = None
    """B value, in kelvin."""
    beta_tolerance: Tolerance = 0.0
    """Of the B value."""
    points: list[tuple[TemperatureC, ResistanceOhm]] = []
    """Two or three temperatures and their ohms."""
    coefficients: tuple[Coefficient, Coefficient, Coefficient] | None = None
    """A, B, C of Steinhart and Hart."""
    tolerance: Tolerance = 0.05
    """Of the resistance, at every temperature."""


class Platinum(Section):
    """Platinum thermometer (IEC 60751): ohms at 0 degC and tolerance class."""

    ohms: ResistanceOhm = 100.0
    """At 0 degC."""
    class_: Literal["AA", "A", "B", "C"] = "B"
    """Tolerance class of IEC 60751."""


class Output(Section):
    """A voltage that follows what is measured, straight between the points."""

    points: list[tuple[MeasuredValue, SignalV]]
    """What is measured, and the volts there."""
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
    """What is measured, and the ohms there."""
    tolerance: Tolerance = 0.05
    """Of the resistance."""


class CurrentOutput(Section):
    """A current that follows what is measured, into a resistor in the controller."""

    points: list[tuple[MeasuredValue, NoCurrentA]]
    """What is measured, and the amps there."""
    into: ResistanceOhm = 250.0
    """Resistor in the controller that the current flows through."""
    into_tolerance: Tolerance = 0.01
    """Of that resistor."""
    tolerance: Tolerance = 0.01
    """Of the span between the first and the last point."""


class Pickup(Section):
    """Hall pickup with an open collector: pulls the pin low while `on`."""

    on: Title = "target in front of the sensor"
    """When it pulls its pin low."""
    off: Title = "nothing in front of the sensor"
    """When it lets go."""
    low: NoVoltageV = 0.4
    """Most that is left on the output while it pulls low."""
    leak: CurrentA = 1e-5
    """Most that flows into the output while it is off."""


class Inductive(Section):
    """Coil and magnet: resistance cold, and alternating volts at a speed."""

    ohms: ResistanceOhm
    """Cold."""
    tolerance: Tolerance = 0.1
    """Of its ohms."""
    volts: VoltageV | None = None
    """Root mean square, unloaded, at the speed `at`; in proportion at other speeds."""
    at: TurningRpm = 300.0
    """Speed of the engine at which it gives its `volts`."""
    volts_tolerance: Tolerance = 0.3
    """Of its volts."""


class Position(Section):
    """What a switch is called open and closed."""

    closed: Title = "closed"
    """What is done to it when it is closed."""
    open: Title = "open"
    """And when it is open."""


class Signal(Section):
    """What a sensor gives on one of its pins: one of the characteristics below."""

    return_: Name | None = None
    """Pin that it is measured against; default the other of two pins."""
    supply: Name | None = None
    """Pin that feeds it, where the output follows its supply."""
    ntc: Thermistor | None = None
    """A resistor that falls as it warms."""
    platinum: Platinum | None = None
    """A platinum thermometer."""
    ohms: Sender | None = None
    """A resistance that follows what is measured."""
    volts: Output | None = None
    """A voltage that does."""
    current: CurrentOutput | None = None
    """A current that does."""
    hall: Pickup | None = None
    """A pickup that pulls its pin low."""
    inductive: Inductive | None = None
    """A coil beside a toothed wheel."""
    switch: Position | None = None
    """A contact."""
    show: list[MeasuredValue] = []
    """Values for which the book gives the reading, the one at rest first; default the points."""
    state: Name | None = None
    """Operating state of the readings; default the first in which the pin is alive."""


class Pair(Section):
    """Two tracks that a controller holds against each other."""

    tracks: tuple[Name, Name]
    """Two signal pins."""
    sum: VoltageV | None = None
    """Volts of both together."""
    ratio: float | None = Field(default=None, ge=0.001, le=1000)
    """First over second."""
    within: Share = 0.05
    """What the controller allows before it takes them to disagree."""
