"""What differs between two ways to build a vehicle: wire by size, copper, drops, sizes, rope."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import fsum

from buildbook.catalogue.mass import copper_kg_per_m
from buildbook.figures import whole_mm
from buildbook.harness.model import Wire
from buildbook.issued.model import Facts
from buildbook.sizing.changes import changes
from buildbook.sizing.facts import facts_of
from buildbook.sizing.model import PathDrop
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Run

WORST = 3
"""Loads whose drop is told though it changes little: it gets tight there. Our choice."""
WORTH_V = 0.05
"""Change of a drop from which it is told though it is none of the worst. Our choice."""


@dataclass(frozen=True)
class Drop:
    """What a load loses on its way in the state where least of its allowance is left."""

    load: str
    state: str
    lost_v: float
    allowed_v: float

    @property
    def share(self) -> float:
        return self.lost_v / self.allowed_v if self.allowed_v else 0.0


@dataclass(frozen=True)
class Differences:
    """Two ways to build a vehicle held against each other: the first before, the second now."""

    wire_mm: dict[str, tuple[int, int]]
    """Size -> all its wires as they are cut, from thin to thick."""
    copper_kg: tuple[float, float]
    drops: tuple[tuple[Drop | None, Drop | None], ...]
    """Those that are worst or change most; None where a load has no way on one side."""
    changes: tuple[str, ...]
    """In words: sizes, fuses, devices; what is new and gone."""
    all_changes: tuple[str, ...]
    """With every length and splice."""
    other_lengths: int
    """Wires that are on both sides, of another length."""
    to_measure: tuple[Run, ...]
    """Runs that are estimated now, and were not there before."""
    rope_gone: tuple[Run, ...]
    left_behind: dict[str, tuple[str, ...]]
    """Point that something moved away from -> what stays there, fuses on a panel left out."""


def differences(before: Sized, now: Sized) -> Differences:
    """All that a builder would ask of a change before he decides on it."""
    was, facts = facts_of(before), facts_of(now)
    level = _levelled(was, facts)
    return Differences(
        _wire_mm(before, now),
        (_copper_kg(before), _copper_kg(now)),
        _drops(before, now),
        changes(_without_splices(level), _without_splices(facts)),
        changes(was, facts),
        sum(was.wires[i].length != level.wires[i].length for i in was.wires),
        _not_in(now.vehicle.runs, before.vehicle.runs, estimated=True),
        _not_in(before.vehicle.runs, now.vehicle.runs),
        _left_behind(before, now),
    )


def _wire_mm(before: Sized, now: Sized) -> dict[str, tuple[int, int]]:
    sides = [_by_size(before), _by_size(now)]
    areas = {w.label: w.area_mm2 for s in (before, now) for w in s.sizing.wires.values()}
    return {
        size: (sides[0].get(size, 0), sides[1].get(size, 0))
        for size in sorted(areas, key=lambda label: (areas[label], label))
    }


def _by_size(sized: Sized) -> dict[str, int]:
    """Size -> millimetres of wire, each cut to a whole one as on the cut list."""
    found: dict[str, int] = {}
    for wire in sized.harness.wires.values():
        label = sized.sizing.wires[wire.id].label
        found[label] = found.get(label, 0) + whole_mm(wire.cut_m)
    return found


def _copper_kg(sized: Sized) -> float:
    """Of all wires as cut."""

    def kg(wire: Wire) -> float:
        return wire.cut_m * copper_kg_per_m(sized.sizing.wires[wire.id].area_mm2)

    return fsum(map(kg, sized.harness.wires.values()))


def _drops(before: Sized, now: Sized) -> tuple[tuple[Drop | None, Drop | None], ...]:
    """The worst of either side, and what changes by something a meter shows; worst now first."""
    old, new = _worst(before.sizing.path_drops), _worst(now.sizing.path_drops)
    pairs = [(old.get(load), new.get(load)) for load in dict.fromkeys([*new, *old])]
    pairs.sort(key=lambda pair: -max(drop.share for drop in pair if drop))
    return tuple(p for n, p in enumerate(pairs) if n < WORST or _changed_v(p) >= WORTH_V)


def _worst(paths: Iterable[PathDrop]) -> dict[str, Drop]:
    found: dict[str, Drop] = {}
    for path in paths:
        drop = Drop(path.load, path.state, path.lost_v, path.allowed_v)
        if path.load not in found or drop.share > found[path.load].share:
            found[path.load] = drop
    return found


def _changed_v(pair: tuple[Drop | None, Drop | None]) -> float:
    volts = [drop.lost_v if drop else 0.0 for drop in pair]
    return abs(volts[1] - volts[0])


def _levelled(was: Facts, now: Facts) -> Facts:
    """The earlier facts with the lengths of now, so that what only got longer is no change."""
    lengths = {(w.circuit, frozenset((w.from_, w.to))): w.length for w in now.wires.values()}
    wires = {
        id_: wire.model_copy(
            update={
                "length": lengths.get((wire.circuit, frozenset((wire.from_, wire.to))), wire.length)
            }
        )
        for id_, wire in was.wires.items()
    }
    return was.model_copy(update={"wires": wires})


def _without_splices(facts: Facts) -> Facts:
    return facts.model_copy(update={"splices": {}})


def _not_in(runs: Iterable[Run], others: Iterable[Run], estimated: bool = False) -> tuple[Run, ...]:
    known = {(run.harness, frozenset((run.from_point, run.to_point))) for run in others}
    return tuple(
        run
        for run in runs
        if (run.harness, frozenset((run.from_point, run.to_point))) not in known
        and (run.estimated or not estimated)
    )


def _left_behind(before: Sized, now: Sized) -> dict[str, tuple[str, ...]]:
    devices: Mapping[str, str] = {n: d.point for n, d in now.vehicle.devices.items()}
    moved = {
        device.point: None
        for name, device in before.vehicle.devices.items()
        if device.point and name in devices and devices[name] != device.point
    }
    stays = {
        point: tuple(n for n, d in now.vehicle.devices.items() if d.point == point and not d.panel)
        for point in moved
    }
    return {point: names for point, names in stays.items() if names}
