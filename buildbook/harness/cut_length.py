"""How long to cut a wire: rope, slack, take-up of the twist, and what each end takes."""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum

from buildbook.catalogue.load import contact_families
from buildbook.catalogue.model import ContactFamily
from buildbook.harness.lay_up import LAY_TIMES, take_up
from buildbook.harness.model import SHORT, Addend, End
from buildbook.vehicle.model import Run, Vehicle

CRIMP_M = 0.004
"""Insulation held by a terminal's second pair of wings; bench practice, no source."""
CUT_BACK_M = 0.02
"""One terminal cut off and crimped anew: its barrel and a fresh strip; bench practice, no
source."""
STUD_LOOP_M = 0.01
"""More loop at a stud, so that the lug turns with its nut; judgement, no source."""
SPLICE_STRIP_M = 0.01
"""Bared in the barrel of a splice; bench practice, no source."""
CAP_M = 0.03
"""Turned back under heat-shrink at an insulated end; bench practice, no source."""
SAME_POINT_M = 0.30
"""A wire between two pins at one point: there and back behind a panel; judgement, no source."""
PIGTAIL_M = 0.15
"""A wire from a pin to a splice or a connector half at the same point; judgement, no source."""
MOVING_LEAST_M = 0.05
"""Least slack where a wire passes onto rope that moves; judgement, no source."""
ESTIMATED_LEAST_M = 0.10
"""Least extra on a run that was estimated; judgement, no source."""
TWIST_SHARE = 0.05
"""Taken up by twisting a pair; bench practice, no source."""
OUTERMOST_SHARE = take_up(LAY_TIMES, 1.0) - 1.0
"""Taken up at most by the lay of twisted layers, while their diameters are not known yet: on the
outermost strand of a layer of a diameter of 1 with a lay of 12 (geometry)."""


def termination(
    kind: str, contact: ContactFamily | None, node: str, loop_m: float, cut_backs: int
) -> list[Addend]:
    """What one end takes by its kind (pin, half, splice or capped), lengths in m.

    A terminal: the strip of its contact family, the insulation in its crimp, a service loop and
    the cut-backs that are allowed for. A splice has no loop; a cap is only turned back.
    """
    if kind == "capped":
        return [Addend(f"turned back at {node}", CAP_M, "cap")]
    again = Addend(f"re-termination at {node}", cut_backs * CUT_BACK_M, "cut back")
    if kind == "splice" or contact is None:
        return [Addend(f"strip at {node}", SPLICE_STRIP_M, "strip"), again]
    return [
        Addend(f"strip at {node}", contact.strip_mm / 1000, "strip"),
        Addend(f"crimp at {node}", CRIMP_M, "crimp"),
        Addend(f"service loop at {node}", loop_m + (STUD_LOOP_M if contact.stud else 0.0), "loop"),
        again,
    ]


def end_addends(vehicle: Vehicle, end: End) -> list[Addend]:
    """What one end takes by its termination, and at a device that is not fitted, lengths in m."""
    allowed = vehicle.description.vehicle.lengths
    pin = vehicle.pins.get(end.node)
    device = vehicle.devices.get(pin.device) if pin else None
    own = device.written.service_loop if device else None
    contact = contact_families()[end.contact] if end.kind in ("pin", "half") else None
    loop = allowed.service_loop if own is None else own
    parts = termination(end.kind, contact, end.node, loop, allowed.cut_backs)
    if contact and device and device.written.fitted == "later":
        parts.append(Addend(f"{device.id} is not fitted yet", allowed.not_fitted, "not fitted"))
    return parts


def moving_slack_m(stretch_m: float, crossings: int, share: float) -> float:
    """Slack in m for one stretch of moving rope that is held still at `crossings` of its ends.

    A `share` of the stretch, at least 50 mm, for each end where still rope passes into it:
    a stretch that moves as a whole needs none.
    """
    return crossings * max(share * stretch_m, MOVING_LEAST_M)


def estimated_extra_m(length_m: float, share: float) -> float:
    """Extra in m on one run whose length was estimated: a share of it, at least 100 mm."""
    return max(share * length_m, ESTIMATED_LEAST_M)


def is_moving(vehicle: Vehicle, run: Run) -> bool:
    """Whether a run lies in a zone that moves."""
    zone = vehicle.description.zones.get(run.zone)
    return zone is not None and zone.moving


def _held_still(vehicle: Vehicle, harness: str, point: str) -> bool:
    """Whether still rope of the harness reaches a point."""
    return any(
        not is_moving(vehicle, run)
        for run in vehicle.runs
        if run.harness == harness and point in (run.from_point, run.to_point)
    )


def _stretches(
    vehicle: Vehicle, runs: Sequence[Run], points: Sequence[str]
) -> list[tuple[float, int]]:
    """Each stretch of moving rope on a path: its length in m, and how many ends are held."""
    found = []
    at = 0
    while at < len(runs):
        start = at
        while at < len(runs) and is_moving(vehicle, runs[at]):
            at += 1
        if at > start:
            ends = (points[start], points[at])
            held = sum(_held_still(vehicle, runs[start].harness, point) for point in ends)
            found.append((fsum(run.length_m for run in runs[start:at]), held))
        at = max(at, start + 1)
    return found


def _slack(vehicle: Vehicle, runs: Sequence[Run], points: Sequence[str]) -> list[Addend]:
    """Extra where the path passes onto moving rope, and on rope that was only estimated."""
    allowed = vehicle.description.vehicle.lengths
    slack = fsum(
        moving_slack_m(length, held, allowed.moving)
        for length, held in _stretches(vehicle, runs, points)
    )
    guess = fsum(
        estimated_extra_m(run.length_m, allowed.estimated) for run in runs if run.estimated
    )
    return [
        Addend("slack where it begins to move", slack, "moving"),
        Addend("estimated rope, trim when fitted", guess, "estimated"),
    ]


def _at_one_place(a: End, b: End, way_m: float | None) -> Addend:
    """The way of a wire along no rope: as it was measured, else an estimate."""
    if way_m is not None:
        return Addend("way at one place", way_m, "way")
    pins = a.kind == b.kind == "pin"
    return Addend("estimate, at one place", SAME_POINT_M if pins else PIGTAIL_M, SHORT)


def addends(
    vehicle: Vehicle,
    harness: str,
    runs: Sequence[Run],
    points: Sequence[str],
    a: End,
    b: End,
    cable: str = "",
    offset_m: float = 0.0,
    way_m: float | None = None,
) -> tuple[Addend, ...]:
    """The parts of a wire's cut length in m; the first is the rope itself.

    `points` are those along `runs`; `offset_m` is what splices lie off the marks at its ends;
    `way_m` is what the author measured where there is no rope.
    """
    rope = fsum(run.length_m for run in runs)
    parts = [Addend("rope", rope, "rope") if runs else _at_one_place(a, b, way_m)]
    parts += _slack(vehicle, runs, points)
    twisted = fsum(run.length_m for run in runs if run.concentric)
    parts.append(Addend("lay of the twisted layers", OUTERMOST_SHARE * twisted, "lay"))
    if cable and vehicle.description.cables[cable].type == "twisted pair":
        parts.append(Addend("twist of the pair", TWIST_SHARE * rope, "pair"))
    parts.append(Addend("splice off its mark", offset_m, "offset"))
    for end in (a, b):
        parts += end_addends(vehicle, end)
    return tuple(part for part in parts if part.length_m > 0)
