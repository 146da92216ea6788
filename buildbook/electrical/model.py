"""The vehicle as a resistive network, and its solutions."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Branch:
    """A resistance between two nodes; what it stands for is `kind` and `ref`.

    kind: wire (ref wire id), pin (a device's or pass-through's contact), fuse, bus, ground,
    contact (ref Contact id), load (ref Load id), source (ref Source id, battery, alternator).
    """

    id: str
    kind: str
    ref: str
    a: str
    b: str
    ohms: float
    volts: float = 0.0
    """EMF from b to a in series with ohms; zero for plain resistances."""


@dataclass(frozen=True)
class Solution:
    """One operating point. Voltages are against the battery's negative post."""

    state: str
    volts: dict[str, float]
    current_a: dict[str, float]
    """Branch id -> amps from a to b."""
    branches: dict[str, Branch]
    """The branches as they stood at this point: contacts closed or open (absent)."""
    closed: frozenset[str]
    """Ids of contacts found closed."""
    charging_a: float
    """Into the battery; negative when it discharges."""
    alternator_a: float
    alternator_limit_a: float

    def across(self, a: str, b: str) -> float:
        return self.volts[a] - self.volts[b]


@dataclass(frozen=True)
class Solved:
    """Every state, as a meter reads it (averages) and as the wire heats (rms)."""

    meter: dict[str, Solution]
    heating: dict[str, Solution]

    def wire_current(self, wire_id: str) -> tuple[float, str]:
        """Largest heating current of a wire and the state it occurs in."""
        found = [
            (abs(s.current_a.get(f"wire:{wire_id}", 0.0)), state)
            for state, s in self.heating.items()
        ]
        return max(found, default=(0.0, ""), key=lambda pair: pair[0])
