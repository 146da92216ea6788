"""Finds controllers and loads that the starter leaves with too little voltage."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import cranking_states, loads
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import across, volts_while_on
from buildbook.figures import decimals
from buildbook.vehicle.model import Device
from buildbook.words.say import say

RULE = "cranking-voltage"
SEVERITY = "error or warning"
SOURCE = f"works from, in this description; {PRACTICE} for a cold battery: leave a volt"
FED_V = 1.0
"""Below this a load counts as switched off on purpose while cranking."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at each state in which a starter draws."""
    for state in cranking_states(assessed.vehicle):
        solution = assessed.solved.meter[state]
        for device in assessed.vehicle.all_of("controller"):
            power = device.written.power
            if power is None:
                continue
            feed, ground = f"{device.id}.{power.feeds[0]}", f"{device.id}.{power.grounds[0]}"
            volts = across(solution, feed, ground)
            if volts < power.works_from:
                yield _finding(device, device.id, volts, power.works_from, state)
        for device, load in loads(assessed.vehicle):
            if device.kind == "controller" or state not in load.states:
                continue
            volts = volts_while_on(solution, load)
            if FED_V < volts < load.works_from_v:
                yield _finding(device, load.id, volts, load.works_from_v, state)


def _finding(device: Device, about: str, volts: float, works_from: float, state: str) -> Finding:
    severe = device.kind == "controller" or device.written.critical
    return Finding(
        RULE,
        "error" if severe else "warning",
        about,
        say(
            "{device} has {volts} V in '{state}', and needs {works_from:.2f} V to work.",
            device=called(device.title, about),
            volts=decimals(volts, 2),
            state=state,
            works_from=works_from,
        ),
        say(
            "Feed it from the battery side of the starter's cable, shorten or "
            "enlarge the cables, or fit a battery with less resistance."
        ),
        SOURCE,
        device.where,
    )
