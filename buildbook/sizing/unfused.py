"""What a feed without a fuse has to stand: a dead short, until somebody has switched it off."""

from __future__ import annotations

import math

from buildbook.sizing.installation import Candidate, Installation
from buildbook.sizing.installed_ampacity import temperatures_of
from buildbook.sizing.loading import Loading
from buildbook.sizing.short_circuit_withstand import k_factor, withstand_s

SWITCHED_OFF_S = 5.0
"""In which the isolator is pulled: our choice, the time that IEC 60364-4-41 gives a distribution
circuit to be cut off (from memory)."""


def near_short_a(loading: Loading, installation: Installation) -> float:
    """Dead short at the end of a wire that is nearer the supply; 0 where none is ever live."""
    return max(
        loading.short_circuits.at_a(end.node) for end in (installation.wire.a, installation.wire.b)
    )


def unfused_short_a(loading: Loading, installation: Installation) -> float:
    """Dead short that flows in a wire past every fuse, A; 0 where a fuse stands before it.

    What leads from the body to the battery carries the hardest one of all.
    """
    if math.isfinite(loading.unfused_a[installation.wire.id]):
        return 0.0
    if installation.wire.id in loading.returning:
        return max(loading.short_circuits.amps.values(), default=0.0)
    return near_short_a(loading, installation)


def stands_until_switched_off(
    loading: Loading, installation: Installation, candidate: Candidate, steady_a: float
) -> bool:
    """Whether a wire outlasts a dead short past every fuse until the isolator is open."""
    short_a = unfused_short_a(loading, installation)
    start_c = temperatures_of(installation, candidate, steady_a, loading.site).start_c
    k = k_factor(start_c, candidate.family.short_circuit_c)
    return withstand_s(candidate.conductor.copper_mm2, k, short_a) >= SWITCHED_OFF_S
