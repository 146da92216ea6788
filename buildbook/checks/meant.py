"""Holds what the loads of a vehicle do, state by state, against what they are written to do."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from buildbook.checks.standing import AS_IT_IS, Bench, Mended, Standing
from buildbook.sizing.drop_allowance import is_signal
from buildbook.vehicle.model import Device, Load, Vehicle

SHORT_COUNTS = 50
"""Wrong loads that a short, or a source against others, counts for."""


@dataclass(frozen=True, order=True)
class Wrong:
    """A load that is dead where it should work, or works where it should not."""

    load: str
    state: str
    dead: bool


def states_said(device: Device, load: Load) -> bool:
    """Whether the draw says in which states it works (in); what says nothing leaves it open."""
    for own, draw in zip(device.loads, device.written.draws, strict=False):
        if own.id == load.id:
            return "in_" in draw.model_fields_set
    return False


class Meant:
    """What a bench's loads should do; asked again for each way of wiring that is tried."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.vehicle: Vehicle = bench.vehicle
        fitted = [d for d in self.vehicle.devices.values() if d.written.fitted == "yes"]
        most_v = _most_v(self.vehicle)
        loads = [(d, load) for d in fitted for load in d.loads if 0 < load.working_v <= most_v]
        self._said = [
            (load, load.pulses_itself)
            for d, load in loads
            if states_said(d, load) and not tells_only(self.vehicle, d, load)
        ]
        self._once = [load for d, load in loads if not states_said(d, load)]

    def wrong(
        self, states: Iterable[str], mended: Mended = AS_IT_IS
    ) -> tuple[list[Wrong], int, Mapping[str, Standing]]:
        """Loads that do otherwise than is written, and how many sources are short or turned.

        A load that says nothing of its states is wrong where it works in none of all states.
        """
        standings = {state: self.bench.standing(state, mended) for state in states}
        found = []
        for state, standing in standings.items():
            for load, any_else in self._said:
                should = state in mended.said.get(load.id, load.states)
                works = standing.works(load)
                if should != works and (should or not any_else):
                    found.append(Wrong(load.id, state, should))
        if len(standings) == len(self.vehicle.states):
            found += [
                Wrong(load.id, "", True)
                for load in self._once
                if not any(s.works(load) for s in standings.values())
            ]
        shorts = sum(
            len([x for x in s.shorted if not self._may_be_earthed(x)]) + len(s.against)
            for s in standings.values()
        )
        return found, shorts, standings

    def _may_be_earthed(self, source: str) -> bool:
        """Whether it is a magneto, which is stopped so."""
        return any(s.id == source and s.kind == "magneto" for s in self.vehicle.supply.sources)


def tells_only(vehicle: Vehicle, device: Device, load: Load) -> bool:
    """Whether it tells something and runs nothing: a sensor's, or an input of electronics."""
    return is_signal(vehicle, load) or (device.written.power is not None and not load.control)


def _most_v(vehicle: Vehicle) -> float:
    """More volts than the vehicle ever has: what asks for more is not cured by any wire."""
    sources = [s for s in vehicle.supply.sources if s.kind != "magneto"]
    highest_v = max([vehicle.description.vehicle.nominal, *(s.highest_v for s in sources)])
    return highest_v * max(1, len(vehicle.supply.batteries))
