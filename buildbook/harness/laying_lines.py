"""The lines along which a harness is laid up: the trunk, and each branch from its breakout."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import fsum

from buildbook.harness.breakout_order import near_ends, onward, root_of
from buildbook.harness.model import Wire
from buildbook.vehicle.model import Run


@dataclass(frozen=True)
class LayingLine:
    """Runs that follow each other and are laid up in one go, from where the work begins."""

    runs: tuple[str, ...]
    points: tuple[str, ...]
    """Where it begins, and the far end of each run."""
    lengths_m: tuple[float, ...]

    def at_m(self, station: int) -> float:
        """Length from where it begins to one of its points."""
        return fsum(self.lengths_m[:station])


def laying_lines(
    runs: Sequence[Run], held: Mapping[str, Sequence[str]], wires: Iterable[Wire]
) -> tuple[LayingLine, ...]:
    """Every twisted run of one harness in exactly one line, the trunk first.

    A line goes on at every breakout along the run that takes most of its wires. `held` is the
    ids of the wires in each run. What passes through the root itself is one line with what it
    came from.
    """
    root = root_of(runs, wires)
    after = onward(runs, root)
    near = near_ends(runs, root)
    beginning = [run for run in after if near[run] == root]
    paths, free = [], sorted(beginning, key=lambda run: -len(held[run]))
    while free:
        path = [free.pop(0)]
        while ways := after[path[-1]]:
            here = set(held[path[-1]])
            onwards = max(ways, key=lambda other: len(here & set(held[other])))
            free += [way for way in ways if way != onwards]
            path.append(onwards)
        paths.append(path)
    by_id = {run.id: run for run in runs}
    return tuple(
        line
        for path in _joined(paths, beginning, held)
        for line in _twisted([by_id[run] for run in path], near)
    )


def _joined(
    paths: list[list[str]], beginning: Sequence[str], held: Mapping[str, Sequence[str]]
) -> list[list[str]]:
    """The two fullest ways from the root in one, where wires pass from one to the other."""
    first, *others = paths
    for other in others:
        if other[0] in beginning and set(held[first[0]]) & set(held[other[0]]):
            return [[*other[::-1], *first], *(path for path in others if path != other)]
    return paths


def _twisted(path: Sequence[Run], near: Mapping[str, str]) -> Iterable[LayingLine]:
    """The stretches of a path that are twisted."""
    points = _points(path, near)
    for twisted, group in groupby(enumerate(path), key=lambda pair: pair[1].concentric):
        if twisted:
            at, runs = zip(*group, strict=True)
            yield LayingLine(
                tuple(run.id for run in runs),
                tuple(points[at[0] : at[-1] + 2]),
                tuple(run.length_m for run in runs),
            )


def _points(path: Sequence[Run], near: Mapping[str, str]) -> list[str]:
    """The points along runs that follow each other; a single run goes away from the root."""
    ends = [(run.from_point, run.to_point) for run in path]
    if len(path) == 1:
        return [near[path[0].id], *(end for end in ends[0] if end != near[path[0].id])]
    found = [next(point for point in ends[0] if point not in ends[1])]
    for one, other in ends:
        found.append(other if one == found[-1] else one)
    return found
