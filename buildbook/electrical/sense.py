"""Generators that hold the volts somewhere else: how far above these their own have to stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from buildbook.electrical.model import Solution, Solved
from buildbook.electrical.network import Network

EmfV = Mapping[tuple[str, str], float]
"""(source, state) -> volts behind the ohms of a generator that senses."""
NEAR_V = 1e-4
"""Nearer than this to what it holds, a sensed place has come to rest."""
MOST_ROUNDS = 20
"""Each leaves less than half of what was missing, for the way to the sensed place has fewer ohms
than what it ends at."""
LEAST_SHARE = 0.5
"""Of its own volts: where less comes to the sense pin, its wire is open, and the regulator goes by
its own. Common practice of regulators with a sense pin, no source."""


def with_emf(network: Network, emf_v: EmfV) -> Network:
    """The network with other volts behind the ohms of generators that sense."""
    sources = tuple(
        replace(
            source,
            emf_v={state: emf_v.get((source.id, state), v) for state, v in source.emf_v.items()},
        )
        for source in network.sources
    )
    return replace(network, sources=sources)


def sensed_emf(network: Network, meter: Mapping[str, Solution]) -> dict[tuple[str, str], float]:
    """What every generator that senses must stand at, by the volts that were solved.

    `network` is as described: its `emf_v` are what the generators hold.
    """
    found = {}
    for source in network.sources:
        for state, solution in meter.items():
            held_v = source.emf_v[state]
            if source.senses and source.limit_a[state] > 0:
                own_v = solution.across(source.plus, source.minus)
                sensed_v = solution.across(source.senses, source.minus)
                lost_v = own_v - sensed_v if sensed_v >= LEAST_SHARE * own_v else 0.0
                found[source.id, state] = held_v + lost_v
    return found


def is_near(one: EmfV, other: EmfV) -> bool:
    return all(abs(volts - one.get(key, volts + 1.0)) < NEAR_V for key, volts in other.items())


def emf_of(solved: Solved) -> dict[tuple[str, str], float]:
    """What generators stood at when they were solved: those that gave anything."""
    return {
        (branch.ref, state): branch.volts
        for state, solution in solved.meter.items()
        for branch in solution.branches.values()
        if branch.id == branch.ref and branch.kind == "source"
    }
