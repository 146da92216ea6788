"""The wires of a CAN pair as they lie in the car, and how far a device may be off them."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.checks.stages import Assessed
from buildbook.harness.bus import apart_m
from buildbook.vehicle.model import Circuit


@dataclass(frozen=True)
class BusWire:
    """One circuit of a bus as it lies in the car: metres along the wire between its devices."""

    apart_m: dict[str, dict[str, float]]
    """Device -> every device that its wire reaches -> length of the wire between them."""

    def stub_m(self, device: str, one: str, other: str) -> float:
        """Wire from a device to where it meets the wire between two others."""
        along = self.apart_m[one][other]
        return (self.apart_m[device][one] + self.apart_m[device][other] - along) / 2

    def reaches(self, *devices: str) -> bool:
        """Whether the wire joins all of these devices."""
        return all(other in self.apart_m.get(devices[0], {}) for other in devices)

    def furthest_past(self, device: str, one: str, other: str) -> tuple[float, str, str]:
        """How much farther a device is from an end of the line than the other end is.

        With the end that it goes past, and the one that it is measured from.
        """
        away, along = self.apart_m[device], self.apart_m[one][other]
        return max((away[other] - along, one, other), (away[one] - along, other, one))


def bus_wire(assessed: Assessed, circuit: Circuit) -> BusWire:
    """The wire of a circuit through splices and pass-throughs, measured from device to device."""
    return BusWire(apart_m(assessed.harness, circuit.id))
