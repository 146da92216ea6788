"""What each quantity of the description may be: outside of it nothing can be meant.

The bounds are our choice where no source stands beside them: far outside of what any vehicle
has, so that only a slip is refused. What is merely unlikely is a matter for the checks.
"""

from __future__ import annotations

from typing import Annotated

from buildbook.description.quantities import Quantity, Size, WithinSize

MOST_LENGTH_M = 100.0
MOST_CURRENT_A = 10_000.0
COLDEST_C = -90.0
"""Lowest air temperature measured: -89.2 °C (WMO record, from memory)."""

RunLengthM = Annotated[float, Quantity("m", 0.001, MOST_LENGTH_M)]
WireM = Annotated[float, Quantity("m", 0.001, 1000.0)]
"""From end to end, over several runs."""
TapeM = Annotated[float, Quantity("m", 0.0, MOST_LENGTH_M)]
SlackM = Annotated[float, Quantity("m", 0.0, 10.0)]
BoardM = Annotated[float, Quantity("m", 0.1, 20.0)]
SmallM = Annotated[float, Quantity("m", 0.0001, 10.0)]
"""A bend, a hole, a diameter."""
StrandM = Annotated[float, Quantity("m", 0.0, 0.01)]
DistanceM = Annotated[float, Quantity("m", 0.0, MOST_LENGTH_M)]
VehicleM = Annotated[float, Quantity("m", 0.1, 30.0)]
PlaceM = Annotated[float, Quantity("m", -30.0, 30.0)]
StockM = Annotated[float, Quantity("m", 0.0, 100_000.0)]
AltitudeM = Annotated[float, Quantity("m", -500.0, 9000.0, ("m", "ft"))]
"""From the shore of the Dead Sea to the highest summit (from memory)."""

CurrentA = Annotated[float, Quantity("A", 1e-9, MOST_CURRENT_A)]
NoCurrentA = Annotated[float, Quantity("A", 0.0, MOST_CURRENT_A)]
"""A current that may be none."""

SystemV = Annotated[float, Quantity("V", 1.0, 60.0)]
"""Of a supply: up to voltage class A, 60 V of direct current (ISO 6469-3, from memory). More can
kill at a touch, and nothing here is written for that."""
VoltageV = Annotated[float, Quantity("V", 1e-6, 1000.0)]
NoVoltageV = Annotated[float, Quantity("V", 0.0, 1000.0)]
"""Volts that may be none."""
SignalV = Annotated[float, Quantity("V", -1000.0, 1000.0)]

PowerW = Annotated[float, Quantity("W", 1e-6, 1e6)]
ResistanceOhm = Annotated[float, Quantity("ohm", 1e-6, 1e9)]
"""Up to the leak to the body that every node has."""
NoResistanceOhm = Annotated[float, Quantity("ohm", 0.0, 1e9)]
"""Ohms that may be none."""

TemperatureC = Annotated[float, Quantity("degC", COLDEST_C, 1000.0)]
AmbientC = Annotated[float, Quantity("degC", COLDEST_C, 300.0)]
"""Around a wire: no insulation of a vehicle's wire stands more."""
BatteryC = Annotated[float, Quantity("degC", COLDEST_C, 120.0)]

SpeedRpm = Annotated[float, Quantity("rpm", 0.0, 50_000.0)]
TurningRpm = Annotated[float, Quantity("rpm", 1.0, 50_000.0)]
"""Of what turns: volts are told at it, in proportion at other speeds."""
FrequencyHz = Annotated[float, Quantity("Hz", 0.0001, 1e9)]
CapacityAh = Annotated[float, Quantity("Ah", 0.001, 10_000.0)]
TimeH = Annotated[float, Quantity("hour", 0.01, 1000.0)]
BetaK = Annotated[float, Quantity("K", 100.0, 20_000.0)]
MassKg = Annotated[float, Quantity("kg", 0.0, 10_000.0)]

Share = Annotated[float, Quantity("1", 0.0, 1.0)]
Tolerance = Annotated[float, Quantity("1", 0.0, 0.99)]
"""To either side: all of it would leave nothing."""
SomeShare = Annotated[float, Quantity("1", 0.001, 1.0)]
"""A share that is not nothing: what divides by it stays finite."""
Multiple = Annotated[float, Quantity("1", 0.0, 10.0)]
"""A share that may be more than the whole."""

InrushA = Quantity("A", 1e-9, MOST_CURRENT_A)
InrushS = Quantity("s", 1e-6, 3600.0)

ConductorSize = Annotated[Size, WithinSize(0.01, 500.0)]
