"""The vehicle as a resistive network, and its solutions."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from buildbook.electrical.sensors import Loop
from buildbook.electrical.span import Span, around


@dataclass(frozen=True)
class Branch:
    """A resistance between two nodes; what it stands for is `kind` and `ref`.

    kind: wire (ref wire id), pin (a device's or pass-through's contact), fuse, bus, ground,
    contact (ref Contact id), leak (through an open contact, ref Contact id), load (ref Load id),
    source (ref Source id, battery, alternator).
    """

    id: str
    kind: str
    ref: str
    a: str
    b: str
    ohms: float
    volts: float = 0.0
    """EMF from b to a in series with ohms; zero for plain resistances."""
    while_on_ohms: float | None = None
    """Of a pulsed branch, whose `ohms` stand for its pulses (`pulses.py`)."""

    @property
    def leads(self) -> bool:
        """Whether it is there to lead current on, and neither uses it nor leaks it."""
        return self.kind not in ("load", "leak")

    @property
    def joins(self) -> bool:
        """Whether its ends are one but for joints and wires between them."""
        return self.leads and self.kind != "source"

    @property
    def on_ohms(self) -> float:
        """While it is on."""
        return self.ohms if self.while_on_ohms is None else self.while_on_ohms


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
    unsettled: frozenset[str] = frozenset()
    """Branch ids of contacts that buzz: open, their control closes them, and closed it opens
    them. They are open here. Also 'battery' and 'alternator' where these do not come to rest."""

    def across(self, a: str, b: str) -> float:
        return self.volts[a] - self.volts[b]

    @cached_property
    def at(self) -> dict[str, list[tuple[Branch, float]]]:
        """Node -> branches there, with the current that each brings into the node, A."""
        found: dict[str, list[tuple[Branch, float]]] = {}
        for branch in self.branches.values():
            amps = self.current_a[branch.id]
            found.setdefault(branch.a, []).append((branch, -amps))
            found.setdefault(branch.b, []).append((branch, amps))
        return found


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


@dataclass(frozen=True)
class SensorRow:
    """What a meter shows in one condition; `level` is how a digital input takes it."""

    when: str
    ohms: Span | None = None
    volts: Span | None = None
    alternating: bool = False
    level: str = ""
    """'low', 'high', 'between', '' where the input has no levels."""


@dataclass(frozen=True)
class SensorTable:
    """One signal: where to put the meter, what lies in the loop, and its readings.

    `meter_pin` and `minus_pin` are the controller's where one reads the signal, else the
    sensor's own. Ohms are across the unplugged sensor; volts plugged in, in `state`,
    or where that is '' over all states in which the pin is read.
    """

    device: str
    pin: str
    return_pin: str
    meter_pin: str
    minus_pin: str
    law: str
    state: str
    loop: Loop
    rows: tuple[SensorRow, ...]
    unplugged_v: Span | None = None
    """At the controller's pin with the sensor unplugged or its wire broken; None: it floats."""
    return_v: float = 0.0
    """By which its return stood above `minus_pin` where the loop was measured: what others send
    through a ground of its own lifts it elsewise in other states."""


@dataclass(frozen=True)
class PairRow:
    """Both tracks of a pair in one position, and their sum (V) or ratio."""

    when: str
    first_v: Span
    second_v: Span
    together: Span | None


@dataclass(frozen=True)
class PairTable:
    """Two tracks held against each other: what they should make, and what the parts allow.

    Both tracks at their nominal supply: a controller compares them as shares of it.
    """

    device: str
    tracks: tuple[str, str]
    what: str
    """sum, ratio"""
    wanted: float
    within: float
    rows: tuple[PairRow, ...]

    @property
    def allowed(self) -> Span:
        """What the controller takes for agreement."""
        return around(self.wanted, self.within)

    def disagrees(self, row: PairRow) -> bool:
        """True where some allowed tolerance of the tracks makes the controller complain."""
        found, allowed = row.together, self.allowed
        return found is None or found.low < allowed.low or found.high > allowed.high

    @property
    def agrees(self) -> bool:
        """True where it never complains."""
        return not any(self.disagrees(row) for row in self.rows)


@dataclass(frozen=True)
class Sensors:
    """Readings of every sensor whose characteristic the description gives."""

    tables: tuple[SensorTable, ...] = ()
    pairs: tuple[PairTable, ...] = ()


@dataclass(frozen=True)
class BatteryBalance:
    """What one battery does in one state; hours as of `Balance`."""

    battery: str
    charging_a: float
    volts: float
    last_start_h: float | None = None
    flat_h: float | None = None


@dataclass(frozen=True)
class Balance:
    """What battery and alternator do in one state; hours are None where they have no meaning.

    `last_start_h` uses up the usable share of a full battery, `flat_h` all of it;
    `recharge_h` puts the usable share back.
    """

    state: str
    engine_rpm: float
    demand_a: float
    alternator_a: float
    limit_a: float
    charging_a: float
    battery_v: float
    last_start_h: float | None = None
    flat_h: float | None = None
    recharge_h: float | None = None
    batteries: tuple[BatteryBalance, ...] = ()
    """Every battery; the figures above are those of the first."""

    @property
    def spare_a(self) -> float:
        """What the alternator could give beyond what the loads take."""
        return self.limit_a - self.demand_a


@dataclass(frozen=True)
class Fed:
    """Volts across a device while the starter turns, and the least it works from."""

    device: str
    plus_pin: str
    minus_pin: str
    volts: float
    works_from_v: float


@dataclass(frozen=True)
class Cranking:
    """One cranking state: where the battery's volts go, and what is left for whom."""

    state: str
    battery_a: float
    emf_v: float
    inside_v: float
    """Lost inside the battery."""
    battery_v: float
    starters: tuple[Fed, ...]
    feed_v: tuple[float, ...]
    """Lost from the battery's plus post to each starter, …"""
    return_v: tuple[float, ...]
    """… and from there back to its minus post."""
    controllers: tuple[Fed, ...]


@dataclass(frozen=True)
class SupplyReport:
    """Balance of every state, what cranking leaves, and the day's average into the battery."""

    balances: tuple[Balance, ...] = ()
    cranking: tuple[Cranking, ...] = ()
    day_a: float | None = None
    """None where no state has a share of the day."""
