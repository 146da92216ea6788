"""Finds fuses that may open together with, or before, one below them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.sizing.model import FuseSizing, OutputSizing

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
                f"A fault of {pair.fault_a:.0f} A behind {pair.downstream} ({lower.rating_a:g} A) "
                f"may open {fuse_id} ({sized.rating_a:g} A) too: {pair.downstream} may take "
                f"{_time(pair.lower_s)}, {fuse_id} may open after {_time(pair.upper_s)}. All that "
                f"{fuse_id} feeds would go dead.",
                f"Take a larger or slower fuse for {fuse_id} with wires to match, or share out "
                f"what {pair.downstream} feeds between smaller fuses.",
                SOURCE,
                assessed.vehicle.devices[_device_of(sized)].where,
            )


def _device_of(sized: FuseSizing | OutputSizing) -> str:
    return sized.fuse if isinstance(sized, FuseSizing) else sized.device


def _time(seconds: float) -> str:
    return "for ever" if math.isinf(seconds) else f"{significant(seconds, 2)} s"
