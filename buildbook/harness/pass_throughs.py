"""Which contacts of a pass-through each circuit takes, and the two halves as connectors."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from buildbook.catalogue.load import contact_families
from buildbook.catalogue.model import ContactFamily
from buildbook.description import models as written
from buildbook.figures import current
from buildbook.problem import Problem
from buildbook.vehicle.faces import cavity_places
from buildbook.vehicle.model import Circuit, Connector, PassThrough, Pin, Vehicle
from buildbook.vehicle.pins import cavities
from buildbook.words.say import say

PARALLEL_SHARE = 0.8
"""Share of their summed rating that contacts or conductors in parallel are trusted with,
because current divides unevenly between them; common practice, no source."""


GivenContacts = dict[str, dict[str, tuple[str, ...]]]
"""Pass-through -> circuit -> cavities."""

HEAVY_A = 3.0
"""Current from which a contact is kept from beside a signal's, and from beside another such;
judgement, no source."""
NOISY = ("ignition coil", "injector", "solenoid", "motor", "starter", "alternator", "horn")
"""Kinds of device whose current is cut or chopped: coupling is by its change, not its size."""
BESIDE = 1.2
"""Pitches within which two contacts are neighbours."""
MOST_TOLD = 3
"""Circuits that are named where a pass-through is full."""


@dataclass(frozen=True)
class PassingCircuit:
    """A circuit that crosses a pass-through, its current in A and the size of its wire there."""

    circuit: Circuit
    current_a: float
    area_mm2: float = 0.0
    """0 where it is not known yet."""
    noisy: bool = False
    """Whether it feeds or switches something that disturbs signals."""


def contact_of(
    plug: written.Plug, cavity: str, contacts: Mapping[str, ContactFamily]
) -> ContactFamily:
    """Contact family of a cavity."""
    return contacts[plug.contacts.get(cavity, plug.contact)]


def needed(current_a: float, contact: ContactFamily) -> int:
    """How many of these contacts carry a current: one, or several sharing it unevenly."""
    if current_a <= contact.amps:
        return 1
    return math.ceil(current_a / (PARALLEL_SHARE * contact.amps) - 1e-9)


def _order(demand: PassingCircuit) -> tuple[object, ...]:
    """Heavy currents first, signals last, cores of a cable and circuits of a system together."""
    circuit = demand.circuit
    return (
        circuit.written.signal or bool(circuit.cable),
        -round(demand.current_a),
        circuit.system,
        circuit.cable,
        circuit.number,
        circuit.id,
    )


def _kin(one: Circuit, other: Circuit) -> bool:
    """Whether two circuits belong side by side: one cable, or one system outside cables."""
    if one.cable or other.cable:
        return one.cable == other.cable
    return one.system == other.system


def is_noisy(circuit: Circuit, kinds: Iterable[str]) -> bool:
    """Whether a circuit that joins devices of these kinds disturbs signals beside it."""
    return not circuit.written.signal and any(kind in NOISY for kind in kinds)


def _clash(one: PassingCircuit, other: PassingCircuit) -> bool:
    """Whether one is a signal and the other noisy or heavy enough to disturb it."""
    signals = [demand.circuit.written.signal for demand in (one, other)]
    loud = any(demand.noisy or demand.current_a >= HEAVY_A for demand in (one, other))
    return loud and signals[0] != signals[1]


def _warm(one: PassingCircuit, other: PassingCircuit) -> bool:
    """Whether both heat their contacts, so that they are better apart."""
    return min(one.current_a, other.current_a) >= HEAVY_A


class _Face:
    """The free contacts of one pass-through while they are given out."""

    def __init__(
        self,
        through: PassThrough,
        contacts: Mapping[str, ContactFamily],
        unused: Collection[str],
        cores: Mapping[str, int],
    ) -> None:
        names = cavities(through.plug)
        self.contacts = {name: contact_of(through.plug, name, contacts) for name in names}
        self.spots = cavity_places(through.plug)
        self.beside = {
            name: tuple(
                other
                for other in names
                if other != name and math.dist(self.spots[name], self.spots[other]) <= BESIDE
            )
            for name in names
        }
        self.order = {name: at for at, name in enumerate(names)}
        held = {*through.fixed, *through.built, *unused}
        self.free = [name for name in names if name not in held]
        self.taken: dict[str, PassingCircuit] = {}
        self.cores = cores
        """Cable -> how many of its circuits cross here."""

    def keep(self, demand: PassingCircuit, built: tuple[str, ...]) -> tuple[str, ...]:
        """Contacts as built, and more of their family where they no longer carry the current."""
        self.taken.update(dict.fromkeys(built, demand))
        family = self.contacts[built[0]]
        more = needed(demand.current_a, family) - len(built)
        for _ in range(more):
            fit = [name for name in self.free if self.contacts[name].id == family.id]
            if not fit:
                break
            built = (*built, self._best(fit, demand, built))
            self.free.remove(built[-1])
            self.taken[built[-1]] = demand
        return built

    def take(self, demand: PassingCircuit) -> tuple[str, ...]:
        """The best free contacts for a circuit, or () where too few are left."""
        best: tuple[tuple[bool, int, float], ContactFamily] | None = None
        for contact in {self.contacts[name].id: self.contacts[name] for name in self.free}.values():
            count = needed(demand.current_a, contact)
            enough = sum(self.contacts[name].id == contact.id for name in self.free) >= count
            thin = count == 1 and demand.area_mm2 > contact.largest_mm2
            if enough and (best is None or (thin, count, contact.amps) < best[0]):
                best = (thin, count, contact.amps), contact
        if best is None:
            return ()
        chosen: list[str] = []
        for _ in range(best[0][1]):
            fit = [name for name in self.free if self.contacts[name].id == best[1].id]
            chosen.append(self._best(fit, demand, chosen))
            self.free.remove(chosen[-1])
        self.taken.update(dict.fromkeys(chosen, demand))
        return tuple(sorted(chosen, key=self.order.__getitem__))

    def _best(self, fit: Collection[str], demand: PassingCircuit, own: Collection[str]) -> str:
        """The contact of these that suits a circuit best."""
        taken = self.taken.items()
        kin = [self.spots[other] for other, by in taken if _kin(demand.circuit, by.circuit)]
        return min(fit, key=lambda name: self._distance(name, demand, own, kin))

    def _distance(
        self,
        name: str,
        demand: PassingCircuit,
        own: Collection[str],
        kin: Collection[tuple[float, float]],
    ) -> tuple[float, float, int, int, int, float, int]:
        """How ill a contact suits: far from its own or its cable, beside a clash or heat, …"""
        here = self.spots[name]
        beside = [self.taken[other] for other in self.beside[name] if other in self.taken]
        near_kin = round(min((math.dist(here, spot) for spot in kin), default=0.0), 6)
        return (
            round(min((math.dist(here, self.spots[o]) for o in own), default=0.0), 6),
            near_kin if demand.circuit.cable else 0.0,
            self._shut_in(name, demand),
            sum(_clash(demand, other) for other in beside),
            sum(other is not demand and _warm(demand, other) for other in beside),
            near_kin,
            self.order[name],
        )

    def _shut_in(self, name: str, demand: PassingCircuit) -> int:
        """How many cores of the same cable, still to come, would find no contact beside this."""
        if not demand.circuit.cable:
            return 0
        placed = sum(d.circuit.cable == demand.circuit.cable for d in self.taken.values())
        coming = self.cores[demand.circuit.cable] - placed - 1
        family = self.contacts[name].id
        free = sum(
            self.contacts[other].id == family for other in self.beside[name] if other in self.free
        )
        return max(0, min(coming, 2) - free)


def allocate(
    through: PassThrough,
    demands: Iterable[PassingCircuit],
    contacts: Mapping[str, ContactFamily],
    unused: Collection[str] = (),
) -> tuple[dict[str, tuple[str, ...]], tuple[PassingCircuit, ...]]:
    """Give each circuit its cavities: circuit id -> cavities, and the demands left without.

    Contacts that the author fixed come first and are taken as they are, then those that were
    built so, with more beside them where the current has grown. Then each circuit takes the
    smallest contact that takes its wire and carries its current, or the fewest in parallel, next
    to its own cable and system. Cavities in `unused` stay empty.
    """
    given: dict[str, tuple[str, ...]] = {}
    waiting = sorted(demands, key=_order)
    face = _Face(through, contacts, unused, Counter(d.circuit.cable for d in waiting))
    for demand in waiting:
        fixed = tuple(c for c, circuit in through.fixed.items() if circuit == demand.circuit.id)
        if fixed:
            given[demand.circuit.id] = fixed
            face.taken.update({c: demand for c in fixed if c in face.spots})
    for demand in waiting:
        built = tuple(c for c, circuit in through.built.items() if circuit == demand.circuit.id)
        if built:
            given[demand.circuit.id] = face.keep(demand, built)
    left = []
    for demand in waiting:
        if demand.circuit.id in given:
            continue
        taken = face.take(demand)
        if taken:
            given[demand.circuit.id] = taken
        else:
            left.append(demand)
    return given, tuple(left)


def spare(half: Connector, blocked: Collection[str]) -> dict[str, int]:
    """Contact family id -> free contacts of a half; `blocked` are those that must stay empty."""
    free = [p.contact.id for p in half.pins if p.unused and p.cavity not in blocked]
    return dict(sorted(Counter(free).items()))


def full(
    through: PassThrough,
    lacking: Sequence[PassingCircuit],
    demands: Iterable[PassingCircuit],
    given: Mapping[str, tuple[str, ...]],
    unused: Collection[str] = (),
) -> Problem:
    """The problem of a pass-through with no contact left for some circuits: what the first of
    them needs, what there is of it, and which circuits hold the contacts of which it needs
    fewest."""
    of_family = _by_family(through.plug)
    need = {family: needed(lacking[0].current_a, family) for family in of_family}
    fewest = min(need.values())
    amps = {d.circuit.id: d.current_a for d in demands}
    taken = {name for names in given.values() for name in names}
    kept = {*unused, *through.fixed, *through.built} - taken
    told = []
    for family, names in of_family.items():
        held = Counter({id_: len({*own} & {*names}) for id_, own in given.items()})
        empty = len({*names} & kept)
        free = len(names) - held.total() - empty
        said = f"{len(names)} {family.id}, {free or 'none'} free"
        said += f" ({empty} kept by `unused` or `carries`)" if empty else ""
        if need[family] == fewest and held.total():
            said += f", held by {_holders(+held, amps)}"
        told.append(said)
    needs = " or ".join(f"{count} {family.id}" for family, count in need.items())
    larger = " or ".join(family.id for family, count in need.items() if count == fewest)
    who = "it" if len(lacking) == 1 else f"'{lacking[0].circuit.id}'"
    return Problem(
        through.where,
        f"pass-through '{through.device}' has no contact left for {_lacking(lacking)}",
        f"{who} needs {needs}; plug type '{through.plug_type}' has {', '.join(told)}",
        f"give it a plug type with more {larger} or with larger contacts, or add a second "
        f"pass-through between {through.harnesses[0]} and {through.harnesses[1]}",
    )


def _by_family(plug: written.Plug) -> dict[ContactFamily, list[str]]:
    """Contact family -> the cavities that it fills."""
    contacts = contact_families()
    found: dict[ContactFamily, list[str]] = {}
    for name in cavities(plug):
        found.setdefault(contact_of(plug, name, contacts), []).append(name)
    return found


def _lacking(demands: Sequence[PassingCircuit]) -> str:
    """ "circuit 'a' at 7.0 A", "20 circuits: 'a' at 7.0 A, 'b' and 18 more"."""
    named = []
    for demand in demands[:MOST_TOLD]:
        flowing = f" at {current(demand.current_a)}" if demand.current_a else ""
        named.append(f"'{demand.circuit.id}'{flowing}")
    if len(demands) == 1:
        return f"circuit {named[0]}"
    return f"{len(demands)} circuits: {', '.join(named)}{_more(demands)}"


def _holders(held: Counter[str], amps: Mapping[str, float]) -> str:
    """Circuits by the contacts that they hold, the most first: "'fan feed' (3, 24.0 A), 'horn' and
    4 more"; currents are known once sizes are."""
    ranked = sorted(held, key=lambda id_: (-held[id_], -amps.get(id_, 0.0), id_))
    told = []
    for id_ in ranked[:MOST_TOLD]:
        about = [str(held[id_])] if held[id_] > 1 else []
        about += [current(amps[id_])] if amps.get(id_) else []
        told.append(f"'{id_}'" + (f" ({', '.join(about)})" if about else ""))
    return ", ".join(told) + _more(ranked)


def _more(things: Sequence[object]) -> str:
    return f" and {len(things) - MOST_TOLD} more" if len(things) > MOST_TOLD else ""


def halves(
    vehicle: Vehicle,
    through: PassThrough,
    given: Mapping[str, tuple[str, ...]],
    contacts: Mapping[str, ContactFamily],
) -> tuple[Connector, ...]:
    """Both halves of a pass-through as connectors: 'X1/engine' with pins 'X1.5/engine'."""
    device = vehicle.devices.get(through.device)
    title = device.title if device else through.device
    circuit_of = {cavity: circuit for circuit, taken in given.items() for cavity in taken}
    made = []
    for harness in through.harnesses:
        pins = tuple(
            Pin(
                id=f"{through.device}.{cavity}/{harness}",
                device=through.device,
                name=cavity,
                use=circuit_of.get(cavity, ""),
                contact=contact_of(through.plug, cavity, contacts),
                stud=False,
                cavity=cavity,
                unused=cavity not in circuit_of,
            )
            for cavity in cavities(through.plug)
        )
        made.append(
            Connector(
                id=f"{through.device}/{harness}",
                device=through.device,
                title=say("{title}, {harness} half", title=title, harness=harness),
                plug_type=through.plug_type,
                plug=through.plug,
                point=through.point,
                pins=pins,
                harness=harness,
                where=through.where,
                gender="socket" if harness == through.sockets else "pin",
            )
        )
    return tuple(made)
