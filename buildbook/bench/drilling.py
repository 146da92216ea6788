"""The holes of each bulkhead: what goes through, how wide, and where from the wall's datum."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum

from buildbook.description import models as written
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Connector, PassThrough, Run

ON_WALL_M = 0.05
"""A place so near a wall's distance from the nose is on the wall: plans are read off a tape, and
a connector's point is the middle of it. Our choice."""

Spot = tuple[float, float]


@dataclass(frozen=True)
class DrillHole:
    """One hole of a wall."""

    number: int
    """On its wall, from 1."""
    name: str
    """The device, the point or what the author calls it."""
    across_mm: float | None
    """As it is drilled; None where nobody says."""
    centre_mm: Spot | None
    """Right of the datum and above it, seen looking forward; None: marked on the car."""
    harnesses: tuple[str, ...] = ()
    """That pass; none through the author's holes."""
    grommet_mm: float | None = None
    """Inside diameter of the grommet that sits in it."""
    through: PassThrough | None = None
    near: Connector | None = None
    """The half of the pass-through whose wires come towards whoever looks forward."""


@dataclass(frozen=True)
class DrilledWall:
    """A bulkhead with the holes that somebody has to drill."""

    name: str
    written: written.Wall
    holes: tuple[DrillHole, ...]
    past: tuple[Run, ...]
    """Runs whose ends lie before and behind it, and for which no hole is told."""

    @property
    def harnesses(self) -> set[str]:
        """That something of passes."""
        return {name for hole in self.holes for name in hole.harnesses}


def drilled_walls(result: Sized) -> tuple[DrilledWall, ...]:
    """The walls of the plan in which there is a hole, in the order of the description."""
    plan = result.vehicle.description.plan
    if plan is None:
        return ()
    found = (_wall(result, plan, name, wall) for name, wall in plan.walls.items())
    return tuple(wall for wall in found if wall.holes)


def _wall(result: Sized, plan: written.Plan, name: str, wall: written.Wall) -> DrilledWall:
    """The connectors first, then grommets, then what is no wiring."""
    there = {p for p, place in plan.places.items() if abs(place[0] - wall.at) <= ON_WALL_M}
    joints = [t for t in result.vehicle.pass_throughs if t.point in there]
    holes = [_of_pass_through(result, plan, wall, joint) for joint in joints]
    drawn = _drawn_through(result, plan, wall, there - {joint.point for joint in joints})
    holes += [_of_grommet(plan, wall, at, runs) for at, runs in drawn.items()]
    holes += [
        DrillHole(0, called, _mm(hole.hole), _from_datum(wall, hole.at))
        for called, hole in wall.holes.items()
    ]
    numbered = (
        DrillHole(**{**vars(hole), "number": number}) for number, hole in enumerate(holes, 1)
    )
    past = (r for r in result.vehicle.runs if r.grommet_m is None and _crosses(plan, wall, r))
    return DrilledWall(name, wall, tuple(numbered), tuple(past))


def _mm(length_m: float) -> float:
    """In millimetres, without what binary fractions leave of a length as it was written."""
    return round(1000 * length_m, 6)


def _from_datum(wall: written.Wall, at: Spot | None) -> Spot | None:
    """A place on the wall as millimetres right of its datum and above it."""
    if at is None:
        return None
    right, up = wall.datum.at if wall.datum else (0.0, 0.0)
    return _mm(at[0] - right), _mm(at[1] - up)


def _of_pass_through(
    result: Sized, plan: written.Plan, wall: written.Wall, joint: PassThrough
) -> DrillHole:
    across = joint.hole_m if joint.hole_m is not None else joint.plug.hole
    behind = max(joint.harnesses, key=lambda harness: _back(result, plan, joint, harness))
    return DrillHole(
        0,
        joint.device,
        None if across is None else _mm(across),
        _from_datum(wall, _on_wall(plan, joint.point)),
        joint.harnesses,
        through=joint,
        near=result.harness.connectors.get(f"{joint.device}/{behind}"),
    )


def _on_wall(plan: written.Plan, point: str) -> Spot | None:
    """How far right and how high a point is; None where its height is not told."""
    place = plan.places[point]
    return (place[1], place[2]) if len(place) == 3 else None


def _back(result: Sized, plan: written.Plan, joint: PassThrough, harness: str) -> float:
    """How far back a harness goes from a pass-through, by the other ends of its runs there."""
    ends = [
        end
        for run in result.vehicle.runs_at(joint.point, harness)
        for end in (run.from_point, run.to_point)
        if end != joint.point and end in plan.places
    ]
    return fsum(plan.places[end][0] for end in ends) / len(ends) if ends else 0.0


def _drawn_through(
    result: Sized, plan: written.Plan, wall: written.Wall, there: set[str]
) -> dict[str, list[Run]]:
    """Point on the wall, or two points beyond it -> the runs with a grommet there."""
    found: dict[str, list[Run]] = {}
    for run in result.vehicle.runs:
        if run.grommet_m is None:
            continue
        on = next((end for end in (run.from_point, run.to_point) if end in there), "")
        if on or _crosses(plan, wall, run):
            found.setdefault(on or f"{run.from_point} – {run.to_point}", []).append(run)
    return found


def _of_grommet(plan: written.Plan, wall: written.Wall, at: str, runs: list[Run]) -> DrillHole:
    """Runs that meet at a point of the wall share the tightest grommet there."""
    place = _on_wall(plan, at) if at in plan.places else None
    return DrillHole(
        0,
        at,
        None,
        _from_datum(wall, place),
        tuple(dict.fromkeys(run.harness for run in runs)),
        min(_mm(run.grommet_m) for run in runs if run.grommet_m is not None),
    )


def _crosses(plan: written.Plan, wall: written.Wall, run: Run) -> bool:
    """Whether a run's ends lie before and behind the wall, neither of them on it."""
    ends = (run.from_point, run.to_point)
    if any(end not in plan.places for end in ends):
        return False
    one, other = (plan.places[end][0] - wall.at for end in ends)
    return one * other < 0 and min(abs(one), abs(other)) > ON_WALL_M
