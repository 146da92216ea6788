"""What battery and alternator do in every state: balance, hours, and volts while cranking."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import fsum

from buildbook.description.models import Battery, Power
from buildbook.electrical.charge import ACCEPTS_PER_H, hours_to_flat, hours_to_recharge
from buildbook.electrical.model import (
    Balance,
    BatteryBalance,
    Cranking,
    Fed,
    Solution,
    Solved,
    SupplyReport,
)
from buildbook.electrical.readings import Readings
from buildbook.vehicle.model import Device, Vehicle
from buildbook.vehicle.power_model import PowerSource

STARTER_A = 1.0
"""A starter that takes more than this turns."""


def supply_report(
    vehicle: Vehicle, solved: Solved, readings: Mapping[str, Readings]
) -> SupplyReport:
    """The supply's balance in every state and its volts in the states that crank."""
    balances = tuple(_balance(vehicle, s, readings[s]) for s in solved.meter)
    cranking = tuple(
        found
        for state in solved.meter
        if (found := _cranking(vehicle, state, readings[state])) is not None
    )
    shares = {name: state.share for name, state in vehicle.description.states.items()}
    day_a = fsum(shares[b.state] * b.charging_a for b in balances)
    return SupplyReport(balances, cranking, day_a if any(shares.values()) else None)


def _balance(vehicle: Vehicle, state: str, shown: Readings) -> Balance:
    solution = shown.solution
    battery = vehicle.supply.battery_data
    every = tuple(_battery(vehicle, source, shown) for source in vehicle.supply.batteries)
    first = every[0]
    found = Balance(
        state,
        vehicle.description.states[state].engine,
        demand_a(vehicle, solution),
        solution.alternator_a,
        solution.alternator_limit_a,
        first.charging_a,
        first.volts,
        first.last_start_h,
        first.flat_h,
        batteries=every,
    )
    if found.spare_a > 0:
        missing_ah = battery.usable * battery.capacity
        hours = hours_to_recharge(missing_ah, found.spare_a, accepts_a(battery), battery.efficiency)
        found = replace(found, recharge_h=hours)
    return found


def _battery(vehicle: Vehicle, source: PowerSource, shown: Readings) -> BatteryBalance:
    """One battery: what it takes, its volts, and how long it lasts where it gives."""
    state = shown.solution.state
    charging_a = shown.solution.current_a.get(source.id, 0.0)
    found = BatteryBalance(
        source.id, charging_a, shown.volts_across(source.plus_pin, source.minus_pin)
    )
    data = source.written
    if charging_a >= 0 or not isinstance(data, Battery):
        return found
    law = (source.capacity_ah[state], -charging_a)
    more = (data.peukert, data.rated_over)
    charged = vehicle.description.states[state].charged
    left = max(0.0, charged - (1 - data.usable))
    return replace(
        found,
        last_start_h=hours_to_flat(*law, left, *more),
        flat_h=hours_to_flat(*law, charged, *more),
    )


def demand_a(vehicle: Vehicle, solution: Solution) -> float:
    """What the loads take at the whole voltage: the generators' current less the batteries'.

    A battery counts for its share of the whole voltage, so that of those that stand on one
    another each takes its part of one current.
    """
    supply, state = vehicle.supply, solution.state
    rest_v = {battery.id: battery.emf_v[state] for battery in supply.batteries}
    whole_v = fsum(rest_v[name] for name in supply.string) or rest_v[supply.battery.id]
    taken = (solution.current_a.get(name, 0.0) * v / whole_v for name, v in rest_v.items())
    return solution.alternator_a - fsum(taken)


def accepts_a(battery: Battery) -> float:
    """Most that the half-empty battery takes: as stated, else by its capacity."""
    return ACCEPTS_PER_H * battery.capacity if battery.accepts is None else battery.accepts


def _cranking(vehicle: Vehicle, state: str, shown: Readings) -> Cranking | None:
    """The cranking report of a state; None where no starter turns in it."""
    solution = shown.solution
    supply = vehicle.supply
    emf_v = fsum(s.emf_v[state] for s in supply.batteries if s.id in supply.string)
    plus, minus = supply.posts
    turning = [
        Fed(
            device.id,
            load.from_pin,
            load.to_pin,
            shown.volts_across(load.from_pin, load.to_pin),
            load.works_from_v,
        )
        for device in vehicle.all_of("starter")
        for load in device.loads
        if abs(solution.current_a.get(f"load:{load.id}", 0.0)) > STARTER_A
    ]
    if not turning:
        return None
    battery_v = shown.volts_across(plus, minus)
    return Cranking(
        state,
        -solution.charging_a,
        emf_v,
        emf_v - battery_v,
        battery_v,
        tuple(turning),
        tuple(shown.volts_across(plus, starter.plus_pin) for starter in turning),
        tuple(shown.volts_across(starter.minus_pin, minus) for starter in turning),
        tuple(
            _controller(device, power, shown)
            for device in vehicle.devices.values()
            if (power := device.written.power)
        ),
    )


def _controller(device: Device, power: Power, shown: Readings) -> Fed:
    feed, ground = f"{device.id}.{power.feeds[0]}", f"{device.id}.{power.grounds[0]}"
    return Fed(device.id, feed, ground, shown.volts_across(feed, ground), power.works_from)
