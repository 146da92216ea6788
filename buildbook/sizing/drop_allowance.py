"""How many volts a load may lose: by its kind, or as its author says."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.vehicle.model import Circuit, Load, Vehicle
from buildbook.words.say import mark

CRANKING = 2.0
"""What runs only while the engine is cranked may lose twice an ordinary load's share
(intermittent against continuous: FAA AC 43.13-1B, table 11-6)."""


@dataclass(frozen=True)
class Allowance:
    """Volts that a load may lose, feed and return together, and by which rule."""

    volts: float
    kind: str
    """author, critical, ordinary or cranking"""


def circuits_of(vehicle: Vehicle, load: Load) -> tuple[Circuit, ...]:
    """Circuits at both ends of a load."""
    return tuple(
        vehicle.circuits[c]
        for pin in (load.from_pin, load.to_pin)
        for c in vehicle.circuit_of_pin.get(pin, ())
    )


def is_signal(vehicle: Vehicle, load: Load) -> bool:
    """Whether the load only carries information: no limit of drop is meant for it."""
    return any(c.written.signal for c in circuits_of(vehicle, load))


def allowance(vehicle: Vehicle, load: Load, cranking: bool = False) -> Allowance:
    """A share of the nominal voltage, so that 24 V systems may lose twice what 12 V ones may.

    In a state where the starter turns no load has less than the cranking share: what a lamp
    loses then is soon over. The least voltage that a circuit's author allows outranks all.
    """
    circuits = circuits_of(vehicle, load)
    pinned = [c.written.drop for c in circuits if c.written.drop is not None]
    if pinned:
        return Allowance(min(pinned), mark("author", context="drop"))
    device, written = vehicle.devices[load.device], vehicle.description.vehicle
    critical = load.critical or device.written.critical or any(c.written.critical for c in circuits)
    own = written.critical_drop if critical else written.drop
    kind = mark("critical", context="drop") if critical else mark("ordinary", context="drop")
    if cranking or device.kind == "starter":
        share = max(own, CRANKING * (own if device.kind == "starter" else written.drop))
        return Allowance(share * written.nominal, mark("cranking", context="drop"))
    return Allowance(own * written.nominal, kind)
