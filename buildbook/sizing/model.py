"""Chosen sizes and ratings, and why."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass, field

from buildbook.description.quantities import parse_size
from buildbook.words.say import mark, say

LIMITS = (
    *(mark("heat", context="limit"), mark("drop", context="limit")),
    *(mark("fuse", context="limit"), mark("short", context="limit")),
    *(mark("unfused", context="limit"), mark("terminal", context="limit")),
    *(mark("author", context="limit"), mark("most", context="limit")),
    *(mark("smallest", context="limit"), mark("as built", context="limit")),
    *(mark("load", context="limit"), mark("inrush", context="limit")),
    *(mark("crank", context="limit"), mark("wire", context="limit")),
    *(mark("breaking", context="limit"), mark("selective", context="limit")),
    *(mark("contact", context="limit"), mark("output", context="limit")),
    *(mark("pulls in", context="limit"), mark("suppressed", context="limit")),
    mark("barrel", context="limit"),
)
"""Names of limits: of wires, of fuses, and of what else carries current."""


def limit_said(name: str) -> str:
    """The name of a limit as the book prints it."""
    return say(name, context="limit")


@dataclass(frozen=True)
class Limit:
    """One limit considered: the value reached, what is allowed, and the smallest that meets it."""

    name: str
    """heat, drop, fuse, short, terminal, author, smallest; of fuses load, inrush, crank, wire,
    breaking, selective"""
    value: float
    allowed: float
    unit: str
    needs: str
    """Size or rating label that this limit alone would ask for."""
    source: str
    detail: str = ""
    """What the numbers belong to: a load and its state, a contact, a fuse."""

    @property
    def met(self) -> bool:
        return self.value <= self.allowed + 1e-9

    @property
    def margin(self) -> float:
        """Share of the allowance that is left; negative where the limit is not met."""
        return 1 - self.value / self.allowed if self.allowed else -1.0


@dataclass(frozen=True)
class Selectivity:
    """A fuse and the next one above it, at the fault current that tells most."""

    upstream: str
    downstream: str
    holds: bool
    fault_a: float
    """Current of the fault, through the lower fuse."""
    lower_s: float
    """Slowest opening of the lower fuse there."""
    upper_s: float
    """Fastest opening of the upper one, which carries its other loads as well."""


@dataclass(frozen=True)
class PathPart:
    """One thing on the way of a load, and the volts that it loses."""

    kind: str
    """wire, pin, fuse, bus, ground, contact"""
    ref: str
    volts: float


@dataclass(frozen=True)
class PathDrop:
    """The way of one load in one state, from the source to it and back, and its allowance."""

    load: str
    state: str
    kind: str
    """Of its allowance: author, critical, ordinary, cranking."""
    allowed_v: float
    parts: tuple[PathPart, ...]

    @property
    def wires_v(self) -> float:
        return math.fsum(p.volts for p in self.parts if p.kind == "wire")

    @property
    def others_v(self) -> float:
        return math.fsum(p.volts for p in self.parts if p.kind != "wire")

    @property
    def lost_v(self) -> float:
        return self.wires_v + self.others_v


@dataclass(frozen=True)
class WireWorking:
    """Every factor of one wire's sums, as the book prints them."""

    length_m: float
    ohm_per_m_20c: float
    joints_ohm: float
    """Of the splice crimps at its ends."""
    steady_a: float
    crank_a: float
    drop_a: float
    """Current of its largest drop, in the state below."""
    state: str
    heat_c: float
    """Air in the piece of rope that decides its heat; below, the wires there and their share
    of that bundle's capacity in use."""
    heat_count: int
    loaded_share: float
    shed_w_per_m: float
    """Heat that it sheds alone in that air at its insulation's rated temperature."""
    free_air_a: float
    bundle_factor: float
    altitude_factor: float
    drop_load: str = ""
    drop_state: str = ""
    short_a: float = 0.0
    """Prospective short-circuit current at its end nearer the supply."""
    start_c: float = 0.0
    """Copper's temperature before a fault."""
    fuse_multiple: float = 0.0
    """Overcurrent, as a multiple of the rating it outlasts, at which its fuse decides."""
    fuse_opens_s: float = 0.0
    """Slowest opening there; infinite where the fuse may hold for ever."""
    short_harms_s: float = math.inf
    """How long a dead short may last before it harms the insulation, in a wire with no fuse."""


@dataclass(frozen=True)
class WireSizing:
    wire: str
    family: str
    label: str
    area_mm2: float
    current_a: float
    state: str
    drop_v: float
    conductor_c: float
    ambient_c: float
    bundle_count: int
    limits: tuple[Limit, ...]
    governing: str
    fuse: str
    """Device id of the fuse that protects it or contact id of the output, '' where none does."""
    pinned: bool = False
    working: WireWorking | None = None

    def asked_mm2(self, without: Collection[str]) -> float:
        """What all its limits ask for but some; where one asks for no size, it counts nothing."""
        asked = (row.needs for row in self.limits if row.name not in without)
        sizes = [label for label in asked if any(c.isdigit() for c in label)]  # not 'hotter family'
        return max((parse_size(label).area_mm2 for label in sizes), default=0.0)


@dataclass(frozen=True)
class FuseSizing:
    fuse: str
    rating_a: float
    load_a: float
    state: str
    weakest_wire: str
    weakest_a: float
    limits: tuple[Limit, ...]
    governing: str
    colour: str
    feeds: tuple[str, ...]
    """Load ids it feeds."""
    pinned: bool = False
    ambient_c: float = 0.0
    derating: float = 1.0
    """Share of its rating left in that air."""
    short_a: float = 0.0
    """Prospective short-circuit current behind it."""
    selective: tuple[Selectivity, ...] = ()
    """Against each fuse next below it."""


@dataclass(frozen=True)
class OutputSizing:
    """A controller's output that trips, and so stands in for a fuse."""

    output: str
    """Contact id: 'module.O1'."""
    device: str
    limit_a: float
    trips: tuple[tuple[float, float], ...]
    """Amps from which it switches itself off, and the longest time that it then takes, s."""
    load_a: float
    state: str
    weakest_wire: str
    weakest_trip_a: float
    """Largest first current of `trips` that this wire would outlast, the others in proportion."""
    limits: tuple[Limit, ...]
    feeds: tuple[str, ...]
    """Load ids it feeds."""
    short_a: float
    """Prospective short-circuit current behind it."""
    selective: tuple[Selectivity, ...] = ()
    """Against each fuse or output next below it."""

    @property
    def rating_a(self) -> float:
        """What it is told by, as a fuse by its rating."""
        return self.limit_a


@dataclass(frozen=True)
class RatedPart:
    """Anything but wire and fuse that carries current: what it carries and what it may."""

    id: str
    device: str
    kind: str
    """switch, relay, driver, output, coil, splice"""
    state: str
    limits: tuple[Limit, ...]


@dataclass(frozen=True)
class Sizing:
    wires: dict[str, WireSizing]
    fuses: dict[str, FuseSizing]
    rounds: int
    """Times that the network was solved until nothing changed."""
    rated_parts: tuple[RatedPart, ...] = ()
    path_drops: tuple[PathDrop, ...] = ()
    """Of every wire's hardest load: its place in the book's list of ways is its place here."""
    outputs: dict[str, OutputSizing] = field(default_factory=dict)
    """Those that trip."""
    unsettled: tuple[str, ...] = ()
    """Fuses and wires that still changed when the rounds were up: their sizes are not final."""

    def opener(self, name: str) -> FuseSizing | OutputSizing:
        """A fuse, by its device's id, or an output that trips, by its contact's."""
        return self.fuses.get(name) or self.outputs[name]
