"""What has which volts when joints have no ohms: quick enough to try many ways of wiring."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from buildbook.vehicle.model import Contact, Load, Vehicle

Joins = Mapping[str, tuple[str, ...]]
"""Circuit -> ids of the pins that it joins."""
STIFF_OHM = 5.0
"""A regulated output behind less than this is a supply; behind more a pull-up or a data wire."""
ENOUGH = 0.9
"""Of the volts that a load works from: joints without ohms lose nothing, sources at rest give
less than charging ones."""
MOST_ROUNDS = 8
"""Relays that work relays in turn; beyond that one buzzes, and nothing can be said of it."""


@dataclass(frozen=True)
class Mended:
    """What is otherwise than it is written; what is not named stays."""

    joins: Joins = field(default_factory=dict)
    """Circuit, or a new name -> what it joins instead."""
    closed: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Contact -> the states in which it is closed instead."""
    buses: Mapping[str, str] = field(default_factory=dict)
    """Bond of a fuse to its bus bar -> the pin of the bus bar instead."""
    turned: frozenset[str] = frozenset()
    """Sources with plus and minus exchanged."""
    said: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Load -> the states in which it should work instead."""
    without: frozenset[str] = frozenset()
    """Sources that are taken away."""

    def with_also(self, other: Mended) -> Mended:
        """Both changes at once; where both change one thing, the other one's."""
        return Mended(
            {**self.joins, **other.joins},
            {**self.closed, **other.closed},
            {**self.buses, **other.buses},
            self.turned ^ other.turned,
            {**self.said, **other.said},
            self.without | other.without,
        )


AS_IT_IS = Mended()


@dataclass(frozen=True)
class Supplied:
    """A source as it is in one state."""

    id: str
    plus: str
    minus: str
    volts: float
    stiff: bool
    control: tuple[str, str] | None = None
    control_v: float = 0.0
    serves: frozenset[str] | None = None
    """Devices that it may feed; None for all."""


@dataclass(frozen=True)
class Standing:
    """One state: which nodes are one, and their volts against the earthed post."""

    state: str
    one: Mapping[str, str]
    """Node -> the node that stands for all that are one with it."""
    volts: Mapping[str, float]
    """The node that stands for others -> volts; what no source reaches is not in it."""
    closed: frozenset[str]
    shorted: tuple[str, ...]
    """Sources whose two ends are one."""
    against: tuple[str, ...] = ()
    """Sources whose ends others hold the other way round."""
    serves: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """The node that stands for others -> devices that what sets its volts may feed; else all."""

    def is_one(self, one: str, other: str) -> bool:
        """Whether nothing but joints lies between two nodes."""
        return self.one.get(one, one) == self.one.get(other, other)

    def across(self, one: str, other: str) -> float | None:
        """Volts between two pins; None where nothing sets one of them."""
        a, b = self.one.get(one, one), self.one.get(other, other)
        if a == b:
            return 0.0
        first, second = self.volts.get(a), self.volts.get(b)
        return None if first is None or second is None else first - second

    def works(self, load: Load) -> bool:
        """Whether a load has what it works from; of electronics the right way round."""
        volts = self.across(load.from_pin, load.to_pin)
        if volts is None or load.working_v <= 0 or abs(volts) < ENOUGH * load.working_v:
            return False
        ends = (self.one.get(pin, pin) for pin in (load.from_pin, load.to_pin))
        device = load.from_pin.partition(".")[0]
        return all(device in self.serves.get(end, (device,)) for end in ends)


class Bench:
    """A vehicle whose circuits may be joined otherwise, without laying a wire."""

    def __init__(self, vehicle: Vehicle, joins: Joins | None = None) -> None:
        """Joined as it is described, or as `joins` says."""
        self.vehicle = vehicle
        self.joins: Joins = joins or {
            name: tuple(dict.fromkeys(pin.id for pin in circuit.pins))
            for name, circuit in vehicle.circuits.items()
        }
        devices = vehicle.devices.values()
        self.bonds = [(b.id, b.from_pin, b.to_pin) for d in devices for b in d.bonds]
        self._contacts = [c for d in devices for c in d.contacts]
        self._sparks = {
            source.id: frozenset(d.id for d in devices if d.kind in ("magneto", "ignition coil"))
            for source in vehicle.supply.sources
            if source.kind == "magneto" and self._is_stopped(source.plus_pin)
        }

    def standing(self, state: str, mended: Mended = AS_IT_IS) -> Standing:
        """Close what is closed in a state, let relays follow their coils, and see what is one."""
        fixed = _Union()
        for name, pins in self.joins.items():
            pins = mended.joins.get(name, pins)
            for pin in pins[1:]:
                fixed.join(pins[0], pin)
        for name, pins in mended.joins.items():
            for pin in pins[1:] if name not in self.joins else ():
                fixed.join(pins[0], pin)
        for name, a, b in self.bonds:
            fixed.join(mended.buses.get(name, a), b)
        for source in self.vehicle.supply.sources:
            if source.kind == "dynamo" and not source.limit_a.get(state):
                fixed.join(source.plus_pin, source.minus_pin)  # its armature conducts at rest
        worked = [c for c in self._contacts if state in mended.closed.get(c.id, c.states)]
        for contact in worked:
            if contact.control is None and not contact.one_way:
                fixed.join(contact.from_pin, contact.to_pin)
        led = [c for c in worked if c.control is not None]
        supplied = self._supplied(state, mended)
        closed: frozenset[str] = frozenset(c.id for c in led if c.inverted)
        for _ in range(MOST_ROUNDS):
            union = fixed.copy()
            for contact in led:
                if contact.id in closed:
                    union.join(contact.from_pin, contact.to_pin)
            standing = _with_volts(state, union, supplied, self.vehicle.supply.earthed_pin, closed)
            after = frozenset(c.id for c in led if _is_closed(c, standing))
            if after == closed:
                break
            closed = after
        return standing

    def _is_stopped(self, terminal: str) -> bool:
        """Whether a switch earths a magneto's terminal: then it is there for sparks alone."""
        beside = {p for pins in self.joins.values() if terminal in pins for p in pins}
        return any({c.from_pin, c.to_pin} & beside for c in self._contacts if c.kind == "switch")

    def with_joins(self, joins: Joins) -> Bench:
        """The same with some circuits joined otherwise; what joins a pin alone joins nothing."""
        after = {**self.joins, **joins}
        return Bench(self.vehicle, {name: pins for name, pins in after.items() if len(pins) > 1})

    def _supplied(self, state: str, mended: Mended) -> list[Supplied]:
        """Batteries first, then what charges them, then regulated outputs, pull-ups last."""
        found = []
        for source in self.vehicle.supply.sources:
            if source.kind in ("alternator", "dynamo") and not source.limit_a.get(state):
                continue
            volts = source.emf_v.get(state, 0.0)
            if volts > 0 and source.id not in mended.without:
                ends = (source.plus_pin, source.minus_pin)
                ends = ends[::-1] if source.id in mended.turned else ends
                serves = self._sparks.get(source.id)
                found.append(
                    Supplied(source.id, *ends, volts, True, source.input_pins, 1.0, serves)
                )
        inner = [s for d in self.vehicle.devices.values() for s in d.sources]
        inner.sort(key=lambda s: s.ohms > STIFF_OHM)
        for given in inner:
            stiff = given.ohms <= STIFF_OHM
            found.append(
                Supplied(
                    given.id,
                    given.plus_pin,
                    given.minus_pin,
                    given.volts,
                    stiff,
                    given.control,
                    given.control_v,
                )
            )
        return found


class _Union:
    """Sets of nodes that are one."""

    def __init__(self, parent: dict[str, str] | None = None) -> None:
        self.parent = parent if parent is not None else {}

    def copy(self) -> _Union:
        return _Union(self.parent.copy())

    def find(self, node: str) -> str:
        parent = self.parent
        root = node
        while (up := parent.get(root, root)) != root:
            root = up
        while node != root:
            parent[node], node = root, parent.get(node, node)
        return root

    def join(self, a: str, b: str) -> None:
        one, other = self.find(a), self.find(b)
        if one != other:
            self.parent[other] = one
        self.parent.setdefault(one, one)


def _with_volts(
    state: str,
    union: _Union,
    supplied: Iterable[Supplied],
    earthed: str,
    closed: frozenset[str],
) -> Standing:
    """Volts from source to source, those that stand on something known first."""
    volts = {union.find(earthed): 0.0}
    shorted, against = [], []
    serves: dict[str, frozenset[str]] = {}
    waiting = list(supplied)
    moved = True
    while moved:
        moved = False
        for source in list(waiting):
            plus, minus = union.find(source.plus), union.find(source.minus)
            if source.control and not _has(union, volts, source.control, source.control_v):
                continue
            if plus == minus:
                if source.stiff:
                    shorted.append(source.id)
                waiting.remove(source)
            elif minus in volts and plus in volts:
                waiting.remove(source)
                if source.stiff and volts[plus] - volts[minus] < -1.0:
                    against.append(source.id)
            elif minus in volts or plus in volts:
                waiting.remove(source)
                moved = True
                one = plus if minus in volts else minus
                volts[one] = (
                    volts[minus] + source.volts if one == plus else volts[plus] - source.volts
                )
                if source.serves is not None:
                    serves[one] = source.serves
    found = {node: union.find(node) for node in list(union.parent)}
    return Standing(state, found, volts, closed, tuple(shorted), tuple(against), serves)


def _has(union: _Union, volts: Mapping[str, float], pins: tuple[str, str], least_v: float) -> bool:
    first, second = volts.get(union.find(pins[0])), volts.get(union.find(pins[1]))
    return first is not None and second is not None and first - second >= least_v


def _is_closed(contact: Contact, standing: Standing) -> bool:
    assert contact.control is not None
    volts = standing.across(*contact.control)
    reached = volts or 0.0
    if contact.kind == "relay":
        return (abs(reached) >= contact.control_v) != contact.inverted
    return reached >= contact.control_v
