"""Finds ground points whose heavy current has no cable to the battery but the body."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.conducting import reach
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "strap-missing"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: an engine stands on rubber, and its starter's current wants a strap"
MOST_A = 60.0
"""Through the joint of a ground point whose ohms nobody stated. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """The largest current of each joint to the body; one with stated ohms was thought of."""
    strapped = _strapped(assessed)
    for ground in assessed.vehicle.all_of("ground"):
        if ground.written.joint is not None:
            continue
        branches = [f"ground:{bond.id}" for bond in ground.bonds]
        amps, state = max(
            (
                (abs(solution.current_a.get(branch, 0.0)), state)
                for state, solution in assessed.solved.heating.items()
                for branch in branches
            ),
            default=(0.0, ""),
        )
        if amps <= MOST_A or any(pin.id in strapped for pin in ground.pins):
            continue
        yield Finding(
            RULE,
            "warning",
            ground.id,
            say(
                "{amps:.0f} A pass from {ground} into the body in '{state}', with no strap "
                "or cable that leads them to the battery's ground.",
                amps=amps,
                ground=called(ground.title, ground.id),
                state=state,
            ),
            say(
                "Join {ground} to the battery's ground point with a strap or a cable of "
                "the battery's size; or state the ohms of its `joint`, where the body is "
                "meant to lead it.",
                ground=ground.id,
            ),
            SOURCE,
            ground.where,
        )


def _strapped(assessed: Assessed) -> frozenset[str]:
    """Pins that cables and straps alone join to the battery's earthed post."""
    vehicle = assessed.vehicle
    edges = [
        (pin.id, f"circuit '{name}'")
        for name, circuit in vehicle.circuits.items()
        for pin in circuit.pins
    ]
    studs = [(g.pins[0].id, pin.id) for g in vehicle.all_of("ground") for pin in g.pins[1:]]
    return reach([*edges, *studs], vehicle.supply.earthed_pin)
