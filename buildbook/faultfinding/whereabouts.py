"""Where a part that may fail is in the vehicle, and what it is exposed to there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from buildbook.faultfinding.access import reach_of_points, reach_of_zone
from buildbook.faultfinding.model import Fault
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Run, Vehicle

HOT_C = 80.0
"""Air from which insulation, seals and contact springs age within seasons. Our choice."""


@dataclass(frozen=True)
class Whereabouts:
    """Points, zones and reach of every part."""

    vehicle: Vehicle
    harness: Harness

    def point_of(self, fault: Fault) -> str:
        """The point of the rope that a part stands at; '' for a wire, and inside nothing."""
        kind, _, ref = fault.branch.partition(":")
        device = ref.partition(".")[0]
        if kind == "wire":
            return ""
        if kind == "pin" and ref in self._pin_points:
            return self._pin_points[ref]
        if device in self._pass_points:
            return self._pass_points[device]
        return self.point_of_device(device or kind)

    def point_of_device(self, name: str) -> str:
        """Of a device, or of the panel that it is on."""
        device = self.vehicle.devices.get(name)
        if device is None:
            return ""
        return self.vehicle.devices[device.panel].point if device.panel else device.point

    @cached_property
    def _pin_points(self) -> dict[str, str]:
        devices = self.vehicle.devices.values()
        return {p.id: c.point for d in devices for c in d.connectors for p in c.pins}

    def sealed(self, pin: str) -> bool:
        """Whether the plug of a pin, or of a bulkhead's cavity, keeps water out."""
        if pin in self._plugs:
            return self._plugs[pin]
        name = pin.partition(".")[0]
        return any(p.device == name and p.plug.sealed for p in self.vehicle.pass_throughs)

    @cached_property
    def _plugs(self) -> dict[str, bool]:
        devices = self.vehicle.devices.values()
        return {p.id: c.plug.sealed for d in devices for c in d.connectors for p in c.pins}

    @cached_property
    def _pass_points(self) -> dict[str, str]:
        return {p.device: p.point for p in self.vehicle.pass_throughs}

    def runs_of(self, fault: Fault) -> tuple[Run, ...]:
        """The runs that a wire lies in, else those that end where the part stands."""
        kind, _, ref = fault.branch.partition(":")
        if kind == "wire":
            wire = self.harness.wires[ref]
            return tuple(self._run[name] for name in wire.runs if name in self._run)
        return self._runs_at.get(self.point_of(fault), ())

    @cached_property
    def _run(self) -> dict[str, Run]:
        return {run.id: run for run in self.vehicle.runs}

    @cached_property
    def _runs_at(self) -> Mapping[str, tuple[Run, ...]]:
        found: dict[str, list[Run]] = {}
        for run in self.vehicle.runs:
            for point in (run.from_point, run.to_point):
                found.setdefault(point, []).append(run)
        return {point: tuple(runs) for point, runs in found.items()}

    @cached_property
    def _reach(self) -> dict[tuple[str, str], str]:
        return reach_of_points(self.vehicle)

    def reach_of_point(self, point: str) -> str:
        """What stands before a hand there."""
        return self._reach.get((point, ""), "at hand")

    def zone_of_point(self, point: str) -> str:
        """The zone from which a hand gets to a point; '' where no rope ends there."""
        zones = [run.zone for run in self._runs_at.get(point, ())]
        easiest = self.reach_of_point(point)
        reached = (z for z in zones if reach_of_zone(self.vehicle, z) == easiest)
        return next(reached, zones[0] if zones else "")
