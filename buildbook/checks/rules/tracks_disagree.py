"""Finds double tracks that good parts alone can make the controller take for broken."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.electrical.model import PairRow, PairTable
from buildbook.figures import decimals
from buildbook.words.joined import all_of
from buildbook.words.say import say

RULE = "tracks-disagree"
SEVERITY = "warning"
SOURCE = "pairs, tolerances and pull-ups in this description, worst case"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at each pair's sum or ratio in every position shown."""
    for pair in assessed.sensors.pairs:
        device = assessed.vehicle.devices[pair.device]
        for row in filter(pair.disagrees, pair.rows):
            yield Finding(
                RULE,
                "warning",
                pair.device,
                _text(pair, row),
                say(
                    "Give both tracks supply and ground of their own from the controller, take "
                    "off pull-ups that load the tracks, or widen what the controller allows."
                ),
                SOURCE,
                device.where,
            )
            break


def _text(pair: PairTable, row: PairRow) -> str:
    said: dict[str, Any] = {
        "when": row.when,
        "tracks": all_of(pair.tracks),
        "low": pair.allowed.low,
        "high": pair.allowed.high,
    }
    if row.together is None:
        return (
            say(
                "At {when} the sum of {tracks} may be anything; the controller allows {low:.2f} to "
                "{high:.2f}.",
                **said,
            )
            if pair.what == "sum"
            else say(
                "At {when} the ratio of {tracks} may be anything; the controller allows {low:.2f} "
                "to {high:.2f}.",
                **said,
            )
        )
    ends = {"least": decimals(row.together.low, 2), "most": decimals(row.together.high, 2)}
    if pair.what == "sum":
        return say(
            "At {when} the sum of {tracks} may be {least} to {most} V; the controller allows "
            "{low:.2f} to {high:.2f} V.",
            **said,
            **ends,
        )
    return say(
        "At {when} the ratio of {tracks} may be {least} to {most}; the controller allows {low:.2f} "
        "to {high:.2f}.",
        **said,
        **ends,
    )
