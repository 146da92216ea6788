"""What is known of a wire before any current flows: where it lies and what it may be."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from buildbook.catalogue.model import Conductor, ContactFamily, WireFamily
from buildbook.description.models import WireChoice, WireSizes
from buildbook.harness.model import Harness, Wire
from buildbook.sizing.fuse_load import air_c
from buildbook.vehicle.model import Vehicle

BATTERY_FAMILY = "battery"
MOST_TIMES = 2.0
"""Copper that a wire from a reel may have over the next size that it needs. Our choice: a reel
spares another being bought, and no trunk grows much."""


@dataclass(frozen=True)
class Candidate:
    """A conductor that the wire could be made of."""

    family: WireFamily
    conductor: Conductor

    @property
    def label(self) -> str:
        return self.conductor.label

    @property
    def area_mm2(self) -> float:
        return self.conductor.area_mm2


@dataclass(frozen=True)
class RunConditions:
    """A piece of rope on a wire's way: its air, and how many wires lie in it."""

    run: str
    ambient_c: float
    count: int


@dataclass(frozen=True)
class Installation:
    """A wire's surroundings and its choice of conductors, thinnest first."""

    wire: Wire
    candidates: tuple[Candidate, ...]
    ambient_c: float
    bundle_count: int
    contacts: tuple[ContactFamily, ...]
    signal: bool
    pinned: Candidate | None
    run_conditions: tuple[RunConditions, ...] = ()
    """Every piece of rope on the way; none for a jumper at one point."""
    pinned_by: str = "author"
    """Who fixed its size, where it is pinned: author, or as built."""
    author: WireSizes = WireSizes()
    """What the author wants of its size; a most is kept by the candidates."""
    owned_mm2: float = math.inf
    """Thickest of the sizes that the author owns and that go into its contacts: what is thicker is
    for its current and its fuse, not for the drop."""

    @property
    def surroundings(self) -> tuple[RunConditions, ...]:
        """The pieces; where no rope is on the way, the air and the wires at its point."""
        return self.run_conditions or (RunConditions("", self.ambient_c, self.bundle_count),)

    @cached_property
    def least_mm2(self) -> float:
        return max((c.smallest_mm2 for c in self.contacts), default=0.0)

    @cached_property
    def most_mm2(self) -> float:
        return min((c.largest_mm2 for c in self.contacts), default=1e9)

    def at_least(self, area_mm2: float) -> int:
        """Place of the thinnest candidate of an area, or of the thickest there is."""
        for i, candidate in enumerate(self.candidates):
            if candidate.area_mm2 >= area_mm2 - 1e-6:
                return i
        return len(self.candidates) - 1


def installations(vehicle: Vehicle, harness: Harness) -> dict[str, Installation]:
    """The place of every wire, by wire id."""
    contacts = {pin.id: pin.contact for pin in vehicle.pins.values()}
    for connector in harness.connectors.values():
        contacts.update({pin.id: pin.contact for pin in connector.pins})
    return {w.id: _installation(vehicle, harness, w, contacts) for w in harness.wires.values()}


def _installation(
    vehicle: Vehicle, harness: Harness, wire: Wire, contacts: dict[str, ContactFamily]
) -> Installation:
    written = vehicle.circuits[wire.circuit].written
    candidates = _candidates(vehicle, wire)
    counts = [len(harness.bundles[r].wires) for r in wire.runs if r in harness.bundles]
    ends = tuple(contacts[end.node] for end in (wire.a, wire.b) if end.node in contacts)
    author = author_sizes(vehicle, wire)
    fixed = author.size or wire.built_size
    pinned = _pinned(vehicle, candidates, fixed.label, fixed.area_mm2) if fixed else None
    candidates, owned_mm2 = _owned(vehicle, wire, candidates, ends)
    candidates = _no_thicker(candidates, author)
    candidates = _reels_first(vehicle, wire, candidates, ends)
    return Installation(
        wire,
        candidates,
        _ambient_c(vehicle, wire),
        max(counts, default=1),
        ends,
        written.signal,
        pinned,
        _run_conditions(vehicle, harness, wire),
        "author" if author.size else "as built",
        author,
        owned_mm2,
    )


def author_sizes(vehicle: Vehicle, wire: Wire) -> WireSizes:
    """Size, least and most of a wire: its own, else its circuit's, else its system's."""
    circuit = vehicle.circuits[wire.circuit]
    own = [circuit.written.wires.get(end.node) for end in (wire.a, wire.b)]
    system = vehicle.description.systems.get(circuit.system)
    found = WireSizes()
    for told in (system, circuit.written, *own):
        if told is not None:
            keys = ("size", "least_size", "most_size")
            said = {key: getattr(told, key) for key in keys if getattr(told, key) is not None}
            found = found.model_copy(update=said)
    return found


def _owned(
    vehicle: Vehicle,
    wire: Wire,
    candidates: tuple[Candidate, ...],
    contacts: tuple[ContactFamily, ...],
) -> tuple[tuple[Candidate, ...], float]:
    """Those of the sizes that the author owns, with thicker ones, and mm2 of the thickest owned.

    Only what goes into the contacts at its ends is of use: all where none does. A cable is made
    as it is.
    """
    choice = vehicle.description.vehicle.wire
    labels = {size.label for size in choice.sizes}
    on_reels = _on_reels(choice) if labels else set()
    owned = tuple(c for c in candidates if c.label in labels or (c.family.id, c.label) in on_reels)
    fits = [c for c in owned if _goes_in(c, contacts)]
    if wire.cable or not fits:
        return candidates, math.inf
    thickest_mm2 = fits[-1].area_mm2
    return (*fits, *(c for c in candidates if c.area_mm2 > thickest_mm2)), thickest_mm2


def _on_reels(choice: WireChoice) -> set[tuple[str, str]]:
    """(family, size) of the wire that is on the shelf."""
    return {(choice.family_of(reel), reel.size.label) for reel in choice.reels}


def _goes_in(candidate: Candidate, contacts: tuple[ContactFamily, ...]) -> bool:
    """Whether the contacts at its ends take it."""
    area_mm2 = candidate.area_mm2
    return all(k.smallest_mm2 - 1e-6 <= area_mm2 <= k.largest_mm2 + 1e-6 for k in contacts)


def _reels_first(
    vehicle: Vehicle,
    wire: Wire,
    candidates: tuple[Candidate, ...],
    contacts: tuple[ContactFamily, ...],
) -> tuple[Candidate, ...]:
    """The sizes without those in whose place one that is on a reel may be taken.

    That one is thicker, of at most `MOST_TIMES` the copper, and goes into the same contacts.
    """
    on_reels = _on_reels(vehicle.description.vehicle.wire)
    there = [c for c in candidates if (c.family.id, c.label) in on_reels and _goes_in(c, contacts)]
    if wire.cable or not there:
        return candidates

    def is_bought(c: Candidate) -> bool:
        most_mm2 = MOST_TIMES * c.area_mm2 + 1e-6
        return not any(c.area_mm2 < reel.area_mm2 <= most_mm2 for reel in there)

    return tuple(c for c in candidates if c in there or is_bought(c))


def _no_thicker(candidates: tuple[Candidate, ...], author: WireSizes) -> tuple[Candidate, ...]:
    """Those up to the author's most, or the thinnest there is."""
    most = author.most_size
    if most is None:
        return candidates
    return tuple(c for c in candidates if c.area_mm2 <= most.area_mm2 + 1e-6) or candidates[:1]


def _run_conditions(vehicle: Vehicle, harness: Harness, wire: Wire) -> tuple[RunConditions, ...]:
    zones = vehicle.description.zones
    return tuple(
        RunConditions(run.id, zones[run.zone].ambient, len(harness.bundles[run.id].wires))
        for run in vehicle.runs
        if run.id in wire.runs and run.id in harness.bundles
    )


def _candidates(vehicle: Vehicle, wire: Wire) -> tuple[Candidate, ...]:
    """The wire's own family, and battery cable above its thickest, but not in a cable."""
    family = vehicle.wire_families[wire.family]
    found = [Candidate(family, c) for c in family.conductors]
    battery = vehicle.wire_families.get(BATTERY_FAMILY)
    is_cable = family.conductors[0].cable_mm is not None
    if battery and battery.id != family.id and not is_cable:
        thickest = found[-1].area_mm2
        found += [Candidate(battery, c) for c in battery.conductors if c.area_mm2 > thickest]
    return tuple(found)


def _pinned(
    vehicle: Vehicle, candidates: tuple[Candidate, ...], label: str, area_mm2: float
) -> Candidate:
    """The conductor of the author's label: in the wire's family, any family, or the nearest."""
    everywhere = [
        *candidates,
        *(Candidate(f, c) for f in vehicle.wire_families.values() for c in f.conductors),
    ]
    for candidate in everywhere:
        if candidate.label == label:
            return candidate
    return min(candidates, key=lambda c: abs(c.area_mm2 - area_mm2))


def _ambient_c(vehicle: Vehicle, wire: Wire) -> float:
    """Hottest zone on the path; a jumper takes the hottest that touches its point."""
    zones = vehicle.description.zones
    own = [zones[r.zone].ambient for r in vehicle.runs if r.id in wire.runs]
    return max(own) if own else air_c(vehicle, wire.a.point)
