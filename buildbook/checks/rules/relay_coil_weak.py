"""Finds relays whose coil has too little voltage to hold them closed."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import volts_while_on
from buildbook.figures import decimals
from buildbook.vehicle.model import Device, Load
from buildbook.words.say import say

RULE = "relay-coil-weak"
SEVERITY = "error or warning"
SOURCE = "the share of nominal at which the coil pulls in, in this description"
FED_SHARE = 0.25
"""Of the pull-in voltage: below it the coil is switched off, and what is left is leakage."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at each coil in every state; the worst one is told, once."""
    for relay in assessed.vehicle.all_of("relay"):
        for load in relay.loads:
            if load.id != f"{relay.id}.coil" or relay.written.fitted != "yes":
                continue
            weak = [
                (volts_while_on(solution, load), state)
                for state, solution in assessed.solved.meter.items()
            ]
            fed = [w for w in weak if FED_SHARE * load.works_from_v < w[0] < load.works_from_v]
            if fed:
                yield _finding(relay, load, *min(fed))


def _finding(relay: Device, load: Load, volts: float, state: str) -> Finding:
    return Finding(
        RULE,
        "error" if relay.written.critical else "warning",
        load.id,
        say(
            "The coil of {relay} has {volts} V in '{state}' and pulls in from "
            "{works_from_v} V: the relay chatters or stays open.",
            relay=called(relay.title, relay.id),
            volts=decimals(volts, 2),
            state=state,
            works_from_v=decimals(load.works_from_v, 2),
        ),
        say(
            "Feed the coil by a thicker or shorter way, or choose a relay that pulls "
            "in earlier (coil: pulls in)."
        ),
        SOURCE,
        relay.where,
    )
