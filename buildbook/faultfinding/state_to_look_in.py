"""Which operating state to look in, for what was told."""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.faultfinding.diagnosis import (
    STUCK,
    FaultTable,
    effects_of,
    loads_called,
    working_in,
)


def best_state(table: FaultTable, names: Iterable[str]) -> str | None:
    """The state to look in: all that was named works there, the engine still where it can be."""
    sets = [set(working_in(table, name)) for name in names]
    both = set.intersection(*sets) if sets else set()
    states = [state for state in table.vehicle.states if state in both]
    engine = table.vehicle.description.states
    return min(states, key=lambda state: engine[state].engine, default=None)


def state_that_shows(table: FaultTable, stuck_on: Iterable[str], opened: Iterable[str]) -> str:
    """The state in which most faults keep these on, or blow or trip these."""
    wanted = {load for name in stuck_on for load in loads_called(table, name)}
    openers = {*opened}

    def shown(state: str) -> int:
        opening = (b for those in table.swept.blown.values() for b in those if b.state == state)
        count = sum(b.fuse in openers for b in opening)
        every = (e for found in effects_of(table, state) for e in found) if wanted else ()
        return count + sum(e.load in wanted and e.effect == STUCK for e in every)

    return max(table.vehicle.states, key=shown)
