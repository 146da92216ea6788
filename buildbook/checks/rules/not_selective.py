"""Finds fuses that may open together with, or before, one below them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.sizing.model import FuseSizing, OutputSizing
from buildbook.words.say import say

RULE = "not-selective"
SEVERITY = "warning"
SOURCE = "ISO 8820 opening-time bands: slowest side below against quickest side above"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Report each pair of fuses that do not open in order; a short has a rule of its own."""
    sizing = assessed.sizing
    every: dict[str, FuseSizing | OutputSizing] = {**sizing.fuses, **sizing.outputs}
    for fuse_id, sized in every.items():
        for pair in sized.selective:
            if pair.holds or assessed.shorted & {fuse_id, pair.downstream}:
                continue
            lower = sizing.opener(pair.downstream)
            yield Finding(
                RULE,
                "warning",
                pair.downstream,
                say(
                    "A fault of {fault_a:.0f} A behind {downstream} ({lower_a:g} A) may open "
                    "{fuse} ({upper_a:g} A) too: {downstream} may take {lower_s}, "
                    "{fuse} may open after {upper_s}. All that {fuse} feeds would go "
                    "dead.",
                    fault_a=pair.fault_a,
                    downstream=pair.downstream,
                    lower_a=lower.rating_a,
                    fuse=fuse_id,
                    upper_a=sized.rating_a,
                    lower_s=_time(pair.lower_s),
                    upper_s=_time(pair.upper_s),
                ),
                say(
                    "Take a larger or slower fuse for {fuse} with wires to match, or share "
                    "out what {downstream} feeds between smaller fuses.",
                    fuse=fuse_id,
                    downstream=pair.downstream,
                ),
                SOURCE,
                assessed.vehicle.devices[_device_of(sized)].where,
            )


def _device_of(sized: FuseSizing | OutputSizing) -> str:
    return sized.fuse if isinstance(sized, FuseSizing) else sized.device


def _time(seconds: float) -> str:
    return (
        say("for ever", context="opens") if math.isinf(seconds) else f"{significant(seconds, 2)} s"
    )
