"""Looks for the one change to a vehicle after which its loads do what is written of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from buildbook.checks.joints import homes_of
from buildbook.checks.likelier import HOME, agreement, at_home, others
from buildbook.checks.meant import SHORT_COUNTS, Meant, Wrong
from buildbook.checks.mends_of_entries import Mend, buses, contacts, said
from buildbook.checks.mends_of_studs import other_side, sides_exchanged, with_other
from buildbook.checks.standing import AS_IT_IS, Bench, Mended
from buildbook.vehicle.model import Vehicle
from buildbook.words.say import say

MOST_TRIED = 2000
"""Changes that are tried; beyond them the answer says that it did not try all."""
MOST_STATES = 3
"""States in which every change is tried; the best of them are tried in all."""
BEST = 80
UNLIKELY = 5
"""Rank of changes between things that have nothing in common: told only if they cure all."""


@dataclass(frozen=True)
class Answer:
    """The changes after which most is right, and how many were tried of how many."""

    mends: tuple[Mend, ...]
    left: int
    """Wrong loads that are left after each of them."""
    tried: int
    of: int


def mends_of(
    meant: Meant, wrong: Iterable[Wrong], near: Iterable[str], done: Mended = AS_IT_IS
) -> Answer:
    """The best single changes to what is joined near the loads that do otherwise.

    What is `done` already is changed too. Every change is tried in the states in which most is
    wrong, the best ones then in all.
    """
    vehicle, wrongs = meant.vehicle, list(wrong)
    by_state: dict[str, int] = {}
    for one in wrongs:
        by_state[one.state] = by_state.get(one.state, 0) + 1
    states = sorted((s for s in by_state if s), key=lambda s: -by_state[s])[:MOST_STATES]
    states = states or list(vehicle.states)
    bench = meant.bench.with_joins(done.joins)
    candidates = list(candidates_of(meant, bench, list(dict.fromkeys(near)), wrongs))
    tried = candidates[:MOST_TRIED]
    ranked = []
    for mend in tried:
        left, shorts, _ = meant.wrong(states, done.with_also(mend.mended))
        ranked.append((len(left) + SHORT_COUNTS * shorts, mend.rank, mend))
    ranked.sort(key=lambda row: (row[0], row[1]))
    _, _, before = meant.wrong(vehicle.states, done)
    beside = others(vehicle, wrongs)
    finals: list[tuple[int, float, Mend]] = []
    for count, rank, mend in ranked[:BEST]:
        if finals and count > min(row[0] for row in finals):
            break
        left, shorts, after = meant.wrong(vehicle.states, done.with_also(mend.mended))
        named = max(-1, min(1, agreement(vehicle, mend)))
        lost = any(
            before[state].works(load) and not after[state].works(load)
            for state in vehicle.states
            for load in beside
        )
        likelier = named + HOME * at_home(vehicle, mend) - lost
        finals.append((len(left) + SHORT_COUNTS * shorts, rank - likelier, mend))
    finals = [row for row in finals if row[2].rank < UNLIKELY or row[0] == 0]
    if not finals:
        return Answer((), 0, len(tried), len(candidates))
    least = min(row[0] for row in finals)
    good = sorted((row for row in finals if row[0] == least), key=lambda row: row[1])
    return Answer(tuple(row[2] for row in good), least, len(tried), len(candidates))


def candidates_of(
    meant: Meant, bench: Bench, near: list[str], wrong: list[Wrong]
) -> Iterator[Mend]:
    """Changes to try, the likelier kinds of slips first, near things before far ones.

    `bench` is joined as it is after what is mended already.
    """
    vehicle, joins = meant.vehicle, bench.joins
    homes = homes_of(joins)
    home = {pin: names[-1] for pin, names in homes.items()}
    studs = [p.id for d in vehicle.all_of("ground") for p in d.pins]
    loose = [pin for pin in vehicle.pins if pin not in home and _wants_wire(vehicle, pin)]
    posts = [p for s in vehicle.supply.sources for p in (s.plus_pin, s.minus_pin)]
    movable = [p for p in near if p in home and p not in studs]
    circuits = list(dict.fromkeys(c for p in (*movable, *posts) for c in homes.get(p, ())))
    yield from _turned(vehicle)
    yield from buses(vehicle)
    yield from contacts(meant, near, wrong)
    yield from _joined(joins, circuits, loose, studs)
    yield from _taken_out(joins, circuits)
    yield from _in_place_of(joins, home, movable, loose)
    yield from other_side(vehicle, joins, circuits)
    yield from sides_exchanged(vehicle, joins, homes, circuits)
    single = [p for p in movable if len(homes[p]) == 1]
    yield from _exchanged(vehicle, joins, home, single)
    yield from _moved(joins, home, movable, circuits, studs)
    yield from _moved(joins, home, *_kin(vehicle, joins, home, wrong, circuits), ())
    yield from said(meant, wrong)


def _wants_wire(vehicle: Vehicle, pin: str) -> bool:
    device = vehicle.devices[vehicle.pins[pin].device]
    if vehicle.pins[pin].unused:
        return False
    bonded = {p for b in device.bonds if b.kind == "bus" for p in (b.from_pin, b.to_pin)}
    return device.kind not in ("ground", "pass-through") and pin not in bonded


def _turned(vehicle: Vehicle) -> Iterator[Mend]:
    for source in vehicle.supply.sources:
        yield Mend(
            say(
                "exchange plus and minus of {source} (`between`, or its two wires)",
                source=source.id,
            ),
            say("plus and minus of {source} are exchanged", source=source.id),
            (source.plus_pin, source.id),
            Mended(turned=frozenset({source.id})),
            0,
        )


def _exchanged(
    vehicle: Vehicle,
    joins: Mapping[str, tuple[str, ...]],
    home: Mapping[str, str],
    near: list[str],
) -> Iterator[Mend]:
    """Two pins that stand in each other's circuits, those of one device first."""
    pairs = [(a, b) for a, b in combinations(near, 2) if home[a] != home[b]]
    alike = [_device(a) == _device(b) or _twins(vehicle, a, b) for a, b in pairs]
    for wanted in (True, False):
        for (one, other), is_alike in zip(pairs, alike, strict=True):
            if is_alike is not wanted:
                continue
            first, second = home[one], home[other]
            changed = {
                first: with_other(joins[first], one, other),
                second: with_other(joins[second], other, one),
            }
            yield Mend(
                say("exchange {one} and {other}", one=one, other=other),
                say(
                    "{one} and {other} are exchanged ('{first}' and '{second}')",
                    one=one,
                    other=other,
                    first=first,
                    second=second,
                ),
                (one, other),
                Mended(joins=changed),
                1 if is_alike else 5,
            )


def _twins(vehicle: Vehicle, one: str, other: str) -> bool:
    """Whether two pins have the same name on two devices of one kind: 85 of two relays.

    Of fuses only those beside each other are taken for each other.
    """
    first, second = vehicle.devices[_device(one)], vehicle.devices[_device(other)]
    same = first.kind == second.kind and first.written.plug == second.written.plug
    if first.kind == "fuse":
        same = same and first.written.on == second.written.on and first.point == second.point
    return same and one.partition(".")[2] == other.partition(".")[2]


def _in_place_of(
    joins: Mapping[str, tuple[str, ...]], home: Mapping[str, str], near: list[str], loose: list[str]
) -> Iterator[Mend]:
    """A pin that nothing joins stands where another pin was joined; or is joined with it alone."""
    for pin in loose:
        for other in near:
            name = home[other]
            if _device(pin) == _device(other):
                yield Mend(
                    say(
                        "join {pin} in '{circuit}' in place of {other}",
                        pin=pin,
                        circuit=name,
                        other=other,
                    ),
                    say(
                        "'{circuit}' joins {other} where it wants {pin}, which is joined to "
                        "nothing",
                        circuit=name,
                        other=other,
                        pin=pin,
                    ),
                    (pin, other),
                    Mended(joins={name: with_other(joins[name], other, pin)}),
                    1,
                )
            rest = tuple(p for p in joins[name] if p != other)
            yield Mend(
                say(
                    "join {pin} with {other}, and take {other} out of '{circuit}'",
                    pin=pin,
                    other=other,
                    circuit=name,
                ),
                say(
                    "'{circuit}' joins {other}, which wants {pin}, and that is joined to nothing",
                    circuit=name,
                    other=other,
                    pin=pin,
                ),
                (other, pin),
                Mended(joins={name: rest, f"{pin} to {other}": (pin, other)}),
                2,
            )


def _joined(
    joins: Mapping[str, tuple[str, ...]], circuits: list[str], loose: list[str], studs: list[str]
) -> Iterator[Mend]:
    """A pin that nothing joins goes into a circuit, and a circuit to a ground stud."""
    for pin in loose:
        for stud in studs[:1]:
            yield Mend(
                say("join {pin} to a ground stud, such as {stud}", pin=pin, stud=_device(stud)),
                say("{pin} is joined to nothing and wants a ground", pin=pin),
                (pin,),
                Mended(joins={f"{pin} to ground": (pin, stud)}),
                1,
            )
        for name in circuits:
            yield Mend(
                say("join {pin} into '{circuit}'", pin=pin, circuit=name),
                say(
                    "{pin} is joined to nothing and belongs into '{circuit}'", pin=pin, circuit=name
                ),
                (pin,),
                Mended(joins={name: (*joins[name], pin)}),
                3,
            )
    for name in circuits:
        for stud in studs[:1]:
            if not set(studs) & set(joins[name]):
                yield Mend(
                    say(
                        "join '{circuit}' to a ground stud, such as {stud}",
                        circuit=name,
                        stud=_device(stud),
                    ),
                    say("'{circuit}' leads to no ground", circuit=name),
                    (joins[name][0],),
                    Mended(joins={name: (*joins[name], stud)}),
                    2,
                )


def _taken_out(joins: Mapping[str, tuple[str, ...]], circuits: list[str]) -> Iterator[Mend]:
    """A pin that should not be in its circuit, a ground stud too."""
    for name in circuits:
        for pin in joins[name] if len(joins[name]) > 2 else ():
            yield Mend(
                say("take {pin} out of '{circuit}'", pin=pin.removesuffix(".stud"), circuit=name),
                say(
                    "'{circuit}' joins {pin} as well, which does not belong there",
                    circuit=name,
                    pin=pin.removesuffix(".stud"),
                ),
                (pin,),
                Mended(joins={name: tuple(p for p in joins[name] if p != pin)}),
                2,
            )


def _moved(
    joins: Mapping[str, tuple[str, ...]],
    home: Mapping[str, str],
    near: list[str],
    circuits: list[str],
    studs: Sequence[str],
) -> Iterator[Mend]:
    """A pin that belongs into another circuit, or to a ground."""
    for pin in near:
        first = home[pin]
        rest = tuple(p for p in joins[first] if p != pin)
        for stud in studs[:1]:
            if stud not in joins[first]:
                yield Mend(
                    say(
                        "join {pin} to a ground stud, such as {stud}, and not into '{first}'",
                        pin=pin,
                        stud=_device(stud),
                        first=first,
                    ),
                    say("'{first}' joins {pin}, which wants a ground", first=first, pin=pin),
                    (pin,),
                    Mended(joins={first: rest, f"{pin} to ground": (pin, stud)}),
                    2,
                )
        for name in circuits:
            if name != first:
                yield Mend(
                    say(
                        "join {pin} into '{circuit}' and not into '{first}'",
                        pin=pin,
                        circuit=name,
                        first=first,
                    ),
                    say(
                        "'{first}' joins {pin}, which belongs into '{circuit}'",
                        first=first,
                        pin=pin,
                        circuit=name,
                    ),
                    (pin,),
                    Mended(joins={first: rest, name: (*joins[name], pin)}),
                    3,
                )


def _kin(
    vehicle: Vehicle,
    joins: Mapping[str, tuple[str, ...]],
    home: Mapping[str, str],
    wrong: list[Wrong],
    near: list[str],
) -> tuple[list[str], list[str]]:
    """Pins of the wrong loads, and the feeds of their systems that are not near: behind a fuse."""
    named = {w.load for w in wrong}
    loads = [(d, x) for d in vehicle.devices.values() for x in d.loads if x.id in named]
    pins = dict.fromkeys(p for _, x in loads for p in (x.from_pin, x.to_pin) if p in home)
    systems = {d.system for d, _ in loads}
    fused = {p.id for d in vehicle.all_of("fuse") for p in d.pins}
    feeds = [
        name
        for name, circuit in vehicle.circuits.items()
        if circuit.system in systems and name in joins and name not in near
        if fused & set(joins[name])
    ]
    return list(pins), feeds


def _device(pin: str) -> str:
    return pin.partition(".")[0]
