"""Finds double tracks that good parts alone can make the controller take for broken."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import decimals

RULE = "tracks-disagree"
SEVERITY = "warning"
SOURCE = "pairs, tolerances and pull-ups in this description, worst case"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at each pair's sum or ratio in every position shown."""
    for pair in assessed.sensors.pairs:
        device, allowed = assessed.vehicle.devices[pair.device], pair.allowed
        for row in filter(pair.disagrees, pair.rows):
            span = row.together
            unit = " V" if span and pair.what == "sum" else ""
            ends = f"{decimals(span.low, 2)} to {decimals(span.high, 2)}" if span else "anything"
            yield Finding(
                RULE,
                "warning",
                pair.device,
                f"At {row.when} the {pair.what} of {' and '.join(pair.tracks)} may be "
                f"{ends}{unit}; the controller allows {allowed.low:.2f} to "
                f"{allowed.high:.2f}{unit}.",
                "Give both tracks supply and ground of their own from the controller, take off "
                "pull-ups that load the tracks, or widen what the controller allows.",
                SOURCE,
                device.where,
            )
            break
