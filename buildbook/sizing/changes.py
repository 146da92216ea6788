"""What became of what somebody acts on from one state of a vehicle to another, in words."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator

from buildbook.issued.model import THE_TRUNK, Facts, IssuedDevice, IssuedWire
from buildbook.words.say import in_figures, say

Ends = tuple[str, frozenset[str]]
"""A wire by its circuit and the nodes at its ends: numbers shift when a circuit is added."""
OFF_POINT = re.compile(r"(.+), (\d+) mm along (.+)", re.DOTALL)
"""Where a splice lies off its point, in the English that facts keep in every language."""


def changes(before: Facts, now: Facts) -> tuple[str, ...]:
    """A line for each wire, splice, fuse and device that is new, gone or otherwise.

    In the order of now, lengths in millimetres.
    """
    return (
        *_of_wires(before, now),
        *_of_splices(before, now),
        *_of_fuses(before, now),
        *_of_devices(before, now),
    )


def _of_wires(before: Facts, now: Facts) -> Iterator[str]:
    old, new = _by_ends(before), _by_ends(now)
    for ends, (id_, wire) in new.items():
        if ends not in old:
            shown = ", ".join(_shown(wire))
            yield say("wire {id} is new: {ends}, {facts}", id=id_, ends=_ends(wire), facts=shown)
            continue
        was_id, was = old[ends]
        pairs = zip(_shown(wire), _shown(was), strict=True)
        altered = [
            say("{now}, was {before}", now=fact, before=earlier)
            for fact, earlier in pairs
            if fact != earlier
        ]
        told = "; ".join(altered)
        if altered and id_ == was_id:
            yield say("wire {id} now {facts}", id=id_, facts=told)
        elif altered:
            yield say("wire {id} (was {was}) now {facts}", id=id_, was=was_id, facts=told)
        elif id_ != was_id:
            yield say("wire {id} was {was}", id=id_, was=was_id)
    for ends, (id_, wire) in old.items():
        if ends not in new:
            yield say("wire {id} is gone: {ends}", id=id_, ends=_ends(wire))


def _by_ends(facts: Facts) -> dict[Ends, tuple[str, IssuedWire]]:
    return {(w.circuit, frozenset((w.from_, w.to))): (id_, w) for id_, w in facts.wires.items()}


def _ends(wire: IssuedWire) -> str:
    return say("{from_} to {to}", from_=wire.from_, to=wire.to)


def _shown(wire: IssuedWire) -> tuple[str, str, str]:
    """Size, cut length and colour."""
    return in_figures(wire.size), wire.length, wire.colour


def _of_splices(before: Facts, now: Facts) -> Iterator[str]:
    old, new = _by_circuit(before), _by_circuit(now)
    for key, (id_, at) in new.items():
        if key not in old:
            yield say("splice {id} is new, at {at}", id=id_, at=_place(at))
        elif old[key] != (id_, at):
            yield _of_splice(id_, at, *old[key])
    for key, (id_, at) in old.items():
        if key not in new:
            yield say("splice {id} is gone, at {at}", id=id_, at=_place(at))


def _of_splice(id_: str, at: str, was_id: str, was_at: str) -> str:
    places = {"at": _place(at), "was_at": _place(was_at)}
    if at == was_at:
        return say("splice {id} (was {was})", id=id_, was=was_id)
    if id_ == was_id:
        return say("splice {id} now at {at}, was at {was_at}", id=id_, **places)
    return say("splice {id} (was {was}) now at {at}, was at {was_at}", id=id_, was=was_id, **places)


def _place(at: str) -> str:
    off = OFF_POINT.fullmatch(at)
    if off is None:
        return at
    if off[3] == THE_TRUNK:
        return say("{point}, {mm} mm along the trunk", point=off[1], mm=off[2])
    return say("{point}, {mm} mm along {run}", point=off[1], mm=off[2], run=off[3])


def _by_circuit(facts: Facts) -> dict[tuple[str, str, int], tuple[str, str]]:
    """Splices by circuit, harness and their place among those of both."""
    found = {}
    counts: defaultdict[tuple[str, str], int] = defaultdict(int)
    for id_, splice in facts.splices.items():
        both = splice.circuit, splice.harness
        found[*both, counts[both]] = id_, splice.at
        counts[both] += 1
    return found


def _of_fuses(before: Facts, now: Facts) -> Iterator[str]:
    old, new = before.fuses, now.fuses
    for name, rating in new.items():
        shown = in_figures(rating)
        if name not in old:
            yield say("fuse {id} is new: {rating}", id=name, rating=shown)
        elif rating != old[name]:
            was = in_figures(old[name])
            yield say("fuse {id} now {rating}, was {before}", id=name, rating=shown, before=was)
    yield from (say("fuse {id} is gone", id=name) for name in old if name not in new)


def _of_devices(before: Facts, now: Facts) -> Iterator[str]:
    """Devices; a fuse with a rating is told of among the fuses where it is new or gone."""
    old, new = before.devices, now.devices
    for name, device in new.items():
        if name not in old:
            if name not in now.fuses:
                said = {"id": name, "title": device.title, "at": device.at}
                yield say("device {id} is new: {title}, at {at}", **said)
        elif altered := [*_altered(old[name], device)]:
            yield say("device {id} now {facts}", id=name, facts="; ".join(altered))
    for name in old:
        if name not in new and name not in before.fuses:
            yield say("device {id} is gone", id=name)


def _altered(was: IssuedDevice, device: IssuedDevice) -> Iterator[str]:
    if device.title != was.title:
        yield say("“{now}”, was “{before}”", now=device.title, before=was.title)
    if device.at != was.at:
        yield say("at {now}, was at {before}", now=device.at, before=was.at)
    if device.part != was.part:
        none = say("none", context="part")
        yield say("part {now}, was {before}", now=device.part or none, before=was.part or none)
