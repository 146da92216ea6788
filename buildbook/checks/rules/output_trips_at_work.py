"""Finds outputs that switch themselves off while all is well."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.sizing.load_paths import state_said
from buildbook.sizing.model import OutputSizing
from buildbook.words.say import say

RULE = "output-trips-at-work"
SEVERITY = "error"
SOURCE = "the output's `trips` against the current and inrush of what it feeds"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Hold an output's trip against its load and against all that it switches on at once."""
    for name, sized in assessed.sizing.outputs.items():
        if why := _why(sized):
            yield Finding(
                RULE,
                SEVERITY,
                name,
                say(
                    "Output {name} switches itself off while all is well: {why}.",
                    name=name,
                    why=why,
                ),
                say(
                    "Share out what it feeds, or set it to trip at more or later, with wires to "
                    "match."
                ),
                SOURCE,
                assessed.vehicle.devices[sized.device].where,
            )


def _why(sized: OutputSizing) -> str:
    trips_a = sized.trips[0][0]
    if sized.load_a >= trips_a:
        return say(
            "it carries {load_a:.1f} A in '{state}' and trips at {trips_a:g} A",
            load_a=sized.load_a,
            state=state_said(sized.state),
            trips_a=trips_a,
        )
    for limit in sized.limits:
        if limit.name == "inrush" and not limit.met:
            times = significant(limit.value / limit.allowed, 2)
            return say(
                "the inrush of {loads} lasts {times} times as long as it lets through",
                loads=limit.detail,
                times=times,
            )
        if limit.name == "crank" and not limit.met:
            return say(
                "while cranking it carries {amps} and trips after {seconds:.2g} s",
                amps=limit.detail,
                seconds=limit.allowed,
            )
    return ""
