"""What became of wires and fuses from one state of a vehicle to another, in words."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.figures import whole_mm
from buildbook.harness.model import Wire
from buildbook.sizing.stage import Sized

Ends = tuple[str, frozenset[str]]
"""A wire by its circuit and the nodes at its ends: numbers shift when a circuit is added."""


def changes(before: Sized, now: Sized) -> tuple[str, ...]:
    """A line for each wire and fuse that is new, gone or otherwise, in the order of now."""
    return (*_of_wires(before, now), *_of_fuses(before, now))


def _of_wires(before: Sized, now: Sized) -> Iterator[str]:
    old, new = _by_ends(before), _by_ends(now)
    for ends, wire in new.items():
        was = old.get(ends)
        if was is None:
            yield f"wire {wire.id} is new: {_ends_words(wire)}, {', '.join(_facts(now, wire))}"
            continue
        pairs = zip(_facts(now, wire), _facts(before, was), strict=True)
        altered = [f"{fact}, was {earlier}" for fact, earlier in pairs if fact != earlier]
        if altered:
            number = "" if wire.id == was.id else f" (was {was.id})"
            yield f"wire {wire.id}{number} now {'; '.join(altered)}"
    for ends, wire in old.items():
        if ends not in new:
            yield f"wire {wire.id} is gone: {_ends_words(wire)}"


def _by_ends(sized: Sized) -> dict[Ends, Wire]:
    wires = sized.harness.wires.values()
    return {(wire.circuit, frozenset((wire.a.node, wire.b.node))): wire for wire in wires}


def _ends_words(wire: Wire) -> str:
    return f"{wire.a.node} to {wire.b.node}"


def _facts(sized: Sized, wire: Wire) -> tuple[str, str, str]:
    """Size, cut length and colour, as the build sheets say them."""
    return sized.sizing.wires[wire.id].label, f"{whole_mm(wire.cut_m)} mm", wire.colour


def _of_fuses(before: Sized, now: Sized) -> Iterator[str]:
    old, new = before.sizing.fuses, now.sizing.fuses
    for name, fuse in new.items():
        if name not in old:
            yield f"fuse {name} is new: {fuse.rating_a:g} A"
        elif fuse.rating_a != old[name].rating_a:
            yield f"fuse {name} now {fuse.rating_a:g} A, was {old[name].rating_a:g} A"
    yield from (f"fuse {name} is gone" for name in old if name not in new)
