"""How a draw's current follows its volts: a filament, a motor, or a plain resistance."""

from __future__ import annotations

from buildbook.description import models as written
from buildbook.vehicle.branches import DeviceScope
from buildbook.vehicle.model import Behaviour
from buildbook.vehicle.scope import Path

BY_KIND = {"lamp": "filament", "motor": "motor", "starter": "motor"}
"""Kind of device -> what its draws are like where they do not say."""
ONLY_OF = {"cold": "filament", "stall": "motor", "turns": "motor"}
"""Key of a draw -> what it has to be like for the key to mean anything."""


def behaviour(
    own: DeviceScope, draw: written.Draw, at: Path, rated_a: float, inrush_a: float
) -> Behaviour | None:
    """What a draw is like, None for a resistor; keys that do not fit it are noted.

    `rated_a` at the volts that it states. Ohms alone say of a lamp or motor that it is meant as a
    resistance, and so do the amps while on of a motor in pulses (it is held against a spring, or
    its speed is set by them), unless it says what it is like.
    """
    by_kind = BY_KIND.get(own.device.kind, "resistor")
    if draw.ohms is not None or (by_kind == "motor" and draw.duty < 1):
        by_kind = "resistor"
    like = draw.like or by_kind
    for key, needs in ONLY_OF.items():
        if getattr(draw, key) is not None and like != needs:
            own.scope.say(
                (*own.path, *at, key),
                f"a draw of `{own.id}` has `{key}` but is like a {like}",
                f"`{key}` is of a {needs}",
                f"write `like: {needs}`, or leave `{key}` out",
            )
    if like == "resistor" or rated_a <= 0:
        return None
    volts = draw.at or own.nominal_v
    if draw.cold is not None and draw.cold * rated_a > volts:
        own.scope.say(
            (*own.path, *at, "cold"),
            f"the filament of `{own.id}` has more ohms cold than lit",
            "tungsten has about a fourteenth when it is cold",
        )
    if like == "transmitter" and not (draw.works_from or 0.0) > 0:
        own.scope.say(
            (*own.path, *at),
            f"the transmitter `{own.id}` does not say what volts it needs",
            "below them it no longer sets its current",
            "give `works from`, as its sheet has it: 8 V",
        )
    if draw.stall is not None and draw.stall <= rated_a:
        own.scope.say(
            (*own.path, *at, "stall"),
            f"the motor of `{own.id}` takes no more at a stall than while it runs",
            "held still it takes several times as much",
        )
    started_a = inrush_a if inrush_a > rated_a else None
    stall_a = draw.stall if draw.stall is not None else started_a
    return Behaviour(like, volts, rated_a, draw.cold, stall_a, draw.turns or "")
