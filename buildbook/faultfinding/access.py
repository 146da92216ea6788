"""Where a meter's probe reaches, and how many seconds each place and each state takes."""

from __future__ import annotations

from collections.abc import Mapping

from buildbook.electrical.network import inside
from buildbook.faultfinding.costs import seconds
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Pin, Vehicle

PARKED_RPM = 1500.0
"""Up to this a stationary engine is run beside its car; faster is a drive. Our choice."""


def probe_places(vehicle: Vehicle, harness: Harness) -> dict[str, float]:
    """Node -> seconds for every node that a probe can be put on."""
    reach = reach_of_points(vehicle)
    found: dict[str, float] = {}
    for pin in vehicle.pins.values():
        away = seconds(reach_of_pin(vehicle, pin, reach))
        if vehicle.devices[pin.device].kind == "fuse":
            found[inside(pin.id)] = seconds("fuse top") + away
        elif pin.id in harness.wire_at:
            found[pin.id] = seconds(_kind_of_place(vehicle, pin)) + away
    for passing in harness.pass_pins:
        point = next(p.point for p in vehicle.pass_throughs if p.device == passing.device)
        for name in passing.wires:
            away = seconds(reach.get((point, name), reach.get((point, ""), "at hand")))
            found[f"{passing.device}.{passing.cavity}/{name}"] = seconds("half") + away
    for splice in harness.splices.values():
        found[splice.id] = seconds("splice") + seconds(reach.get((splice.point, ""), "at hand"))
    return found


def _kind_of_place(vehicle: Vehicle, pin: Pin) -> str:
    if pin.stud:
        return "stud"
    foot = vehicle.devices[pin.device].kind == "relay" and not pin.plug
    return "foot" if foot else "plug"


def reach_of_pin(vehicle: Vehicle, pin: Pin, reach: Mapping[tuple[str, str], str]) -> str:
    """What stands before a pin: of its panel, its connector's point or its device's."""
    device = vehicle.devices[pin.device]
    connector = next((c for c in device.connectors if pin in c.pins), None)
    point = connector.point if connector is not None else device.point
    if device.panel:
        point = vehicle.devices[device.panel].point
    return reach.get((point, ""), "at hand")


def reach_of_points(vehicle: Vehicle) -> dict[tuple[str, str], str]:
    """Point and harness ('' for any) -> what stands before a hand there: the least that may."""
    found: dict[tuple[str, str], str] = {}
    for run in vehicle.runs:
        there = reach_of_zone(vehicle, run.zone)
        for point in (run.from_point, run.to_point):
            for key in ((point, ""), (point, run.harness)):
                known = found.get(key)
                if known is None or seconds(there) < seconds(known):
                    found[key] = there
    return found


def reach_of_zone(vehicle: Vehicle, zone: str) -> str:
    """As the author wrote; else a wet zone is outside the shell, under the bonnet at best."""
    written = vehicle.description.zones.get(zone)
    if written is None:
        return "at hand"
    return written.reach or ("under the bonnet" if written.wet else "at hand")


def cranked(vehicle: Vehicle) -> frozenset[str]:
    """States in which a starter turns."""
    loads = [load for starter in vehicle.all_of("starter") for load in starter.loads]
    return frozenset(state for load in loads for state in load.states)


def state_seconds(vehicle: Vehicle, cranks: bool, state: str) -> float:
    """What it takes to stand in a state beside the parked car."""
    rpm = vehicle.description.states[state].engine
    if not rpm:
        return seconds("set")
    if cranks:
        return seconds("cranking")
    return seconds("running" if rpm <= PARKED_RPM else "drive")
