"""How long to cut a wire: rope, slack, and what each end takes."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.harness.model import Addend, End
from buildbook.vehicle.model import Run, Vehicle

END_M = {"pin": 0.05, "half": 0.05, "stud": 0.06, "splice": 0.03, "capped": 0.03}
"""Strip, crimp and one chance to cut back and crimp again; bench practice, no source."""
SAME_POINT_M = 0.30
"""A wire between two pins at one point: there and back behind a panel; judgement, no source."""
PIGTAIL_M = 0.15
"""A wire from a pin to a splice or a connector half at the same point; judgement, no source."""
MOVING_SHARE, MOVING_LEAST_M = 0.05, 0.05
"""Slack in rope that moves: a twentieth of it, at least 50 mm; judgement, no source."""
ESTIMATED_SHARE, ESTIMATED_LEAST_M = 0.15, 0.10
"""Extra on rope that was estimated, trimmed when it is fitted; judgement, no source."""
LATER_M = 0.30
"""Extra at a device that is not fitted yet; judgement, no source."""
TWIST_SHARE = 0.05
"""Taken up by twisting a pair; bench practice, no source."""
CONCENTRIC_SHARE = 0.03
"""Taken up by the lay of twisted layers: a pitch of twelve times the layer's diameter makes
sqrt(1 + (pi / 12) ** 2) = 1.034 of the outermost layer (geometry)."""


def _end(end: End, stud: bool) -> float:
    return END_M["stud" if stud and end.kind == "pin" else end.kind]


def _slack(vehicle: Vehicle, runs: Sequence[Run]) -> list[Addend]:
    """Extra for rope that moves or was only estimated."""
    zones = vehicle.description.zones
    moving = [run for run in runs if run.zone in zones and zones[run.zone].moving]
    guessed = [run for run in runs if run.estimated]
    found = []
    if moving:
        length = sum(max(MOVING_SHARE * run.length_m, MOVING_LEAST_M) for run in moving)
        found.append(Addend("slack where it moves", length))
    if guessed:
        length = sum(max(ESTIMATED_SHARE * run.length_m, ESTIMATED_LEAST_M) for run in guessed)
        found.append(Addend("estimated rope, trim when fitted", length))
    return found


def addends(
    vehicle: Vehicle,
    harness: str,
    runs: Sequence[Run],
    a: End,
    b: End,
    cable: str = "",
    offset_m: float = 0.0,
) -> tuple[Addend, ...]:
    """The parts of a wire's cut length in m; the first is the rope itself.

    `offset_m` is what splices lie off the marks at its ends.
    """
    rope = sum(run.length_m for run in runs)
    parts = [Addend("rope", rope)]
    if not runs:
        pins = a.kind == b.kind == "pin"
        parts = [Addend("same point", SAME_POINT_M if pins else PIGTAIL_M)]
    parts += _slack(vehicle, runs)
    written = vehicle.description.rope.get(harness)
    if rope and written and written.layup == "concentric":
        parts.append(Addend("lay of the twisted layers", CONCENTRIC_SHARE * rope))
    if cable and vehicle.description.cables[cable].type == "twisted pair":
        parts.append(Addend("twist of the pair", TWIST_SHARE * rope))
    if offset_m:
        parts.append(Addend("splice off its mark", offset_m))
    for end in (a, b):
        pin = vehicle.pins.get(end.node) if end.kind == "pin" else None
        parts.append(Addend(f"end at {end.node}", _end(end, bool(pin and pin.stud))))
        if pin and vehicle.devices[pin.device].written.fitted == "later":
            parts.append(Addend(f"{pin.device} is not fitted yet", LATER_M))
    return tuple(part for part in parts if part.length_m > 0)
