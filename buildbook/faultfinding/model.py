"""Faults, what they do, and how to tell them apart."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from buildbook.vehicle.model import Sign


@dataclass(frozen=True)
class Fault:
    """One thing wrong. `id` is 'open wire:204b', 'short wire:204b', 'swap ecu.A1 ecu.A2'."""

    id: str
    kind: str
    branch: str
    title: str
    """'wire 204b open', 'F4 blown', 'K2 contact 30–87 does not close'."""
    mode: str = "open"
    """open, resistive, short (to the body), stuck (a contact that does not open), swap"""
    ohms: float = 0.0
    """Of a resistive joint: the least of the sweep at which something is seen."""


@dataclass(frozen=True)
class Blown:
    """A fuse that a short opens, and the short's current through it before that.

    `fuse` is '' where no fuse stops the short: the cable burns.
    """

    fuse: str
    state: str
    amps: float


@dataclass(frozen=True)
class Unsettled:
    """Contacts (and supply) that a fault leaves without rest in a state: no reading is sure there.

    A contact is named as in the network: 'contact:K1.30-87'.
    """

    state: str
    contacts: tuple[str, ...]

    @staticmethod
    def of(state: str, contacts: Iterable[str]) -> Unsettled:
        return Unsettled(state, tuple(sorted(contacts)))


@dataclass(frozen=True)
class Effect:
    """What a fault does to a load in a state, in the words of `effect`.

    dead; weak; runs backwards; stuck on: it works where it should not, or all the time instead of
    in pulses; crossed: it works when another should; of a sensor wrong reading: the volts at its
    own pins are not those of a healthy car, or it is read as another.
    """

    load: str
    state: str
    effect: str
    volts: float
    healthy_v: float
    lost: bool = False
    """Of a sensor: nothing comes from it any more."""


@dataclass(frozen=True)
class Charging:
    """A state in which the engine runs on the battery: volts across its posts, with a fault and
    without, what it gives, and the hours after which it starts no more and is flat."""

    state: str
    battery_v: float
    healthy_v: float
    drain_a: float
    last_start_h: float
    flat_h: float


@dataclass(frozen=True)
class Hot:
    """A state in which a poor joint gets hot: its watts, and the kelvin above the air around it."""

    state: str
    watts: float
    rise_k: float


@dataclass(frozen=True)
class Step:
    """Measure from `node` to the battery's negative post in `state`.

    A reading nearer `low_v` leads to the suspects in `low`, nearer `high_v` to `high`. With `what`
    'ohms' the battery is off, fuses and relays are out and every plug is undone; the meter goes
    from `node` to the body, and `low_v` and `high_v` are ohms: under half-way on a scale of
    decades leads to `low`. With 'bus ohms' the battery is off and all is plugged in; the meter goes
    from `node` to `other`, the high and the low wire of a data bus; with 'bus ohms unplugged' the
    device of these pins is unplugged and the meter is on the harness. Volts with `other` 'swings'
    go up and down with slow pulses: the middle counts; with 'alternating' they are root mean
    square, on that range of the meter.

    Without a meter, where no leads to `low` and yes to `high`: 'look' whether the load `node`
    works in `state`; 'click', whether the relay `node` is heard as the switches go from the state
    `other` to `state`; 'feel', whether a joint is hot at any of the devices `node`, named with
    commas, `other` being the zone where they are all that is in it; 'swap', whether all is well
    with `node`, a fuse or a relay, changed for a like one, `other` ('' for a spare).
    """

    node: str
    state: str
    low_v: float
    high_v: float
    low: tuple[str, ...]
    high: tuple[str, ...]
    what: str = "volts"
    other: str = ""
    low_range: tuple[float, float] | None = None
    """Least and most that any suspect of `low` makes a meter show; None for `low_v` alone."""
    high_range: tuple[float, float] | None = None

    @property
    def by_meter(self) -> bool:
        """Whether it takes a meter."""
        return self.what not in METERLESS

    def leads(self, shown: float) -> tuple[str, ...]:
        """The suspects that a reading leaves: of the nearer of the two."""
        shown, at = self._scaled(shown), (self._scaled(self.low_v), self._scaled(self.high_v))
        ranges = (self.low_range or (self.low_v,) * 2, self.high_range or (self.high_v,) * 2)
        low, high = (
            max(0.0, self._scaled(least) - shown, shown - self._scaled(most))
            for least, most in ranges
        )
        if low == high:
            low, high = (abs(shown - end) for end in at)
        return self.low if low <= high else self.high

    def _scaled(self, shown: float) -> float:
        """Ohms are compared by decades."""
        return math.log10(max(shown, LEAST_OHM)) if "ohms" in self.what else shown


LEAST_OHM = 1e-3
"""What a meter tells from none."""

SWINGS = "swings"
"""`Step.other` of volts that a meter follows up and down."""

ALTERNATING = "alternating"
"""`Step.other` of volts that a meter shows on its range for alternating current."""

METERLESS = ("look", "feel", "click", "swap")
"""What a step may be that takes eyes, ears and hands alone."""


@dataclass(frozen=True)
class Symptom:
    """Faults with one signature, and the readings that tell them apart."""

    id: str
    title: str
    state: str
    effects: tuple[Effect, ...]
    suspects: tuple[str, ...]
    """Fault ids, likeliest first."""
    steps: tuple[Step, ...]
    """Depth first: the first step splits all suspects."""
    blows: tuple[str, ...] = ()
    """Fuses that open, and open again when renewed."""
    blows_in: tuple[str, ...] = ()
    """States that open them, or trip outputs."""
    trips: tuple[str, ...] = ()
    """Outputs that switch themselves off."""
    burns: bool = False
    """A short that no fuse stops."""
    charging: tuple[Charging, ...] = ()
    """Where the battery is not charged: of the likeliest suspect."""
    hot: bool = False
    """Heat or smell at a joint, and nothing else."""
    called: str = ""
    """What the author calls it: a name of `Faultfinding.complaints` that leads here alone."""


@dataclass(frozen=True)
class Lead:
    """A symptom that may be behind what a driver says."""

    symptom: str
    faults: tuple[str, ...]
    """Those of its suspects that do what was said, likeliest first."""
    share: float
    """Of the likelihood of all leads: each fault's, less for everything that it upsets beside."""
    beside: int
    """Devices that its likeliest fault upsets too, of which nothing was said."""


@dataclass(frozen=True)
class Pattern:
    """Signs of a complaint that come together, where they may lead, what parts the leads."""

    signs: tuple[Sign, ...]
    leads: tuple[Lead, ...]
    """Best first."""
    steps: tuple[Step, ...]
    others: int
    """Leads that are too unlikely to be named."""


@dataclass(frozen=True)
class ComplaintPatterns:
    """What a driver says, in the author's words, and the patterns that it can show."""

    name: str
    about: str
    patterns: tuple[Pattern, ...]
    causes: tuple[Cause, ...]
    """Not electrical, likeliest first."""


@dataclass(frozen=True)
class Cause:
    """Something that is not electrical, and what to look at; `weight` as of electrical parts."""

    what: str
    check: str
    likely: str
    weight: float
    caution: str


@dataclass(frozen=True)
class Entry:
    """A line of what drivers say, and the questions that it leads to."""

    name: str
    group: str
    suspects: tuple[str, ...]
    """Fault ids, likeliest first."""
    steps: tuple[Step, ...]
    """Those that are reached most often, depth first."""
    causes: tuple[Cause, ...]
    state: str
    """In which it is looked at first."""
    less_likely: int
    """Suspects that are not named: the book's symptoms have them."""


@dataclass(frozen=True)
class Silent:
    """A fault that nobody sees, why, and a test that would find it."""

    fault: str
    why: str
    test: str
    alike: str
    """The test in words that it shares with other parts of its kind."""


@dataclass(frozen=True)
class Faultfinding:
    faults: dict[str, Fault]
    effects: dict[str, tuple[Effect, ...]]
    """Fault id -> effects over all states."""
    symptoms: tuple[Symptom, ...]
    silent: tuple[str, ...]
    """Faults that change nothing a driver sees in any state."""
    blown: dict[str, tuple[Blown, ...]] = field(default_factory=dict)
    """Fault id -> fuses that it opens, by state."""
    unseen: tuple[Silent, ...] = ()
    """For each of `silent`: the reason and a test."""
    complaints: tuple[ComplaintPatterns, ...] = ()
    """What drivers say, in the order of the description."""
    unsettled: dict[str, tuple[Unsettled, ...]] = field(default_factory=dict)
    """Fault id -> contacts that it makes buzz, by state."""
    unsure: dict[str, frozenset[str]] = field(default_factory=dict)
    """State -> loads that hang on a contact that buzzes though all is well: no fault is said to do
    anything to them there."""
    charging: dict[str, tuple[Charging, ...]] = field(default_factory=dict)
    """Fault id -> states in which it leaves the engine to the battery alone."""
    hot: dict[str, tuple[Hot, ...]] = field(default_factory=dict)
    """Fault id -> states in which a poor joint gets hot."""
    entries: tuple[Entry, ...] = ()
    """What drivers say, on one page."""
