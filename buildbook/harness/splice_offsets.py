"""How far off its point each splice lies, so that no two lie side by side."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from buildbook.harness.cut_length import is_moving
from buildbook.harness.model import Splice
from buildbook.harness.rope import Rope
from buildbook.vehicle.model import Run, Vehicle

STAGGER_M = 0.04
"""Distance between neighbouring splices, so that no two lie side by side; common practice."""
CLEAR_M = 0.08
"""Rope left free between a connector or device and the nearest splice, so that the splice is out
of the backshell and the end can be re-terminated; common practice, no source."""
LEAST_GAP_M = STAGGER_M / 2
"""Nearer than this splices are on top of each other: a check tells it."""
GAPS = ((STAGGER_M, True), (STAGGER_M, False), (LEAST_GAP_M, False), (0.001, False))
"""Distances tried one after the other, and whether also on another branch. The last is for the
numbers' sake where rope is short; where not even that is free two marks are the same."""


@dataclass(frozen=True)
class WantedSplice:
    """Where a splice is wanted, the points of its circuit there, and its mark if it has one."""

    harness: str
    point: str
    own: frozenset[str]
    mark: tuple[float, str] | None = None
    """Offset in m and run id, where the splice exists already."""


class _TakenOffsets:
    """The marks taken so far while splices are set apart."""

    def __init__(self, vehicle: Vehicle, rope: Rope) -> None:
        self.vehicle, self.rope = vehicle, rope
        self.occupied = {device.point for device in vehicle.devices.values()}
        """Points where a device or a connector stands."""
        self.at: dict[tuple[str, str], list[float]] = {}
        """(harness, point) -> offsets."""
        self.along: dict[str, list[float]] = {}
        """Run id -> distance of each splice from the run's first point, in m."""

    def take(self, spot: WantedSplice, offset: float, run: str) -> None:
        self.at.setdefault((spot.harness, spot.point), []).append(offset)
        if run:
            self.along.setdefault(run, []).append(self._from_start(spot, run, offset))

    def _from_start(self, spot: WantedSplice, run: str, offset: float) -> float:
        held = self.rope.runs[run]
        return offset if spot.point == held.from_point else held.length_m - offset

    def clear(
        self, spot: WantedSplice, offset: float, run: Run | None, gap: float, apart: bool
    ) -> bool:
        """Whether a mark keeps its distance from the others along the rope.

        With `apart` it is also no splice's mark on another branch of the same point.
        """
        taken = self.at.get((spot.harness, spot.point), ())
        if apart and any(abs(offset - other) < gap - 1e-9 for other in taken):
            return False
        if not apart and any(offset + other < gap - 1e-9 for other in taken):
            return False
        if run is None:
            return True
        here = self._from_start(spot, run.id, offset)
        return all(abs(here - other) > gap - 1e-9 for other in self.along.get(run.id, ()))

    def find(self, spot: WantedSplice) -> tuple[float, str]:
        """The nearest mark that is clear, wider spacing first."""
        beside = self.rope.runs_beside(spot.harness, spot.point)
        still = [run for run in beside if not is_moving(self.vehicle, run)]
        start = STAGGER_M if still and len(still) < len(beside) else 0.0
        start = CLEAR_M if spot.point in self.occupied else start
        runs = sorted(
            still or beside,
            key=lambda r: (not {r.from_point, r.to_point} <= spot.own, -r.length_m, r.id),
        )
        longest = max((run.length_m for run in runs), default=1.0)
        for gap, apart in GAPS:
            for step in _steps(gap, start if runs else 0.0, longest):
                offset = round(step * gap, 4)
                if step == 0 or not runs:
                    if self.clear(spot, offset, None, gap, apart):
                        return offset, ""
                    continue
                for run in runs:
                    room = run.length_m / 2 - gap / 2
                    if offset <= room and self.clear(spot, offset, run, gap, apart):
                        return offset, run.id
        return (round(longest / 2, 4), runs[0].id) if start and runs else (0.0, "")


def _steps(gap: float, start_m: float, longest_m: float) -> Iterator[int]:
    """Marks to try, counted in gaps from the point: from where it is clear on outwards.

    On rope too short for that the nearest marks come last, but never the point itself: a splice
    would be inside the connector there.
    """
    first = math.ceil(start_m / gap - 1e-9)
    yield from range(first, int(longest_m / gap) + 2)
    if gap == GAPS[-1][0]:
        yield from range(first - 1, 0, -1)


def apart_m(runs: Mapping[str, Run], one: Splice, other: Splice) -> float | None:
    """Rope in m between two splices that lie along one run or at one point; None elsewhere."""
    if one.harness != other.harness:
        return None
    if one.run and one.run == other.run:
        return abs(_from_start(runs[one.run], one) - _from_start(runs[other.run], other))
    return one.offset_m + other.offset_m if one.point == other.point else None


def _from_start(run: Run, splice: Splice) -> float:
    at_start = splice.point == run.from_point
    return splice.offset_m if at_start else run.length_m - splice.offset_m


def stagger(vehicle: Vehicle, rope: Rope, spots: Sequence[WantedSplice]) -> list[tuple[float, str]]:
    """Offset in m and run for each splice, so that no mark repeats and none lies on moving rope.

    Splices that exist keep their marks. The first other one at a point sits on it, unless rope
    begins to move there or a connector is in the way; the next ones go out along a still run that
    the circuit takes anyway, the longest first, as long as they keep to its near half.
    """
    marks = _TakenOffsets(vehicle, rope)
    for spot in spots:
        if spot.mark:
            marks.take(spot, *spot.mark)
    found = []
    for spot in spots:
        mark = spot.mark or marks.find(spot)
        if not spot.mark:
            marks.take(spot, *mark)
        found.append(mark)
    return found
