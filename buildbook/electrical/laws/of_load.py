"""The law of a load: what its data sheet says, and what such devices have where it says nothing."""

from __future__ import annotations

from buildbook.electrical.laws.filament import Filament, filament
from buildbook.electrical.laws.motor import FAN, PUMP, STEADY, Motor, motor
from buildbook.electrical.laws.transmitter import Transmitter
from buildbook.vehicle.model import Load

Law = Filament | Motor | Transmitter
TURNS = {"fan": FAN, "pump": PUMP, "": STEADY}
"""What a motor turns -> steady share of its load's torque."""


def law_of(load: Load) -> Law | None:
    """The law of a load; None where it is a resistor."""
    data = load.behaviour
    if data is None:
        return None
    if data.like == "filament":
        return filament(data.rated_v, data.rated_a, data.cold_ohm)
    if data.like == "transmitter":
        return Transmitter(data.rated_a, load.works_from_v)
    return motor(data.rated_v, data.rated_a, data.stall_a, TURNS[data.turns])
