"""Finds data bus wires that are not twisted together."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import words
from buildbook.checks.questions import circuits_at, loads
from buildbook.checks.stages import Assessed
from buildbook.vehicle.bus import LEAST_OHMS, MOST_OHMS
from buildbook.words.say import say

RULE = "pair-loose"
SEVERITY = "warning"
SOURCE = "ISO 11898-2: the bus is a twisted pair"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Two signal circuits with a terminating resistor across them, and no cable for both."""
    cables = assessed.vehicle.description.cables.values()
    kept = [set(c.cores) for c in cables if c.type == "twisted pair"]
    seen: set[frozenset[str]] = set()
    for device, load in loads(assessed.vehicle):
        ends = [circuits_at(assessed.vehicle, pin) for pin in (load.from_pin, load.to_pin)]
        if not (LEAST_OHMS <= load.ohms <= MOST_OHMS and all(ends)):
            continue
        pair = frozenset((ends[0][0], ends[1][0]))
        signals = all(assessed.vehicle.circuits[c].written.signal for c in pair)
        if len(pair) < 2 or not signals or pair in seen or any(pair <= k for k in kept):
            continue
        if not {"bus", "can"} & set(words(*pair)):
            continue
        seen.add(pair)
        one, other = sorted(pair)
        yield Finding(
            RULE,
            "warning",
            one,
            say(
                "'{one}' and '{other}' are a data bus (a resistor of {ohms:g} ohm in "
                "{device} joins them) and nothing keeps them twisted together.",
                one=one,
                other=other,
                ohms=load.ohms,
                device=device.title,
            ),
            say("Twist them, and make them a cable (cables: type: twisted pair)."),
            SOURCE,
            assessed.vehicle.circuits[one].where,
        )
