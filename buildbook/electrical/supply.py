"""What battery and alternator do in every state: balance, hours, and volts while cranking."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from buildbook.description.models import Battery, Power
from buildbook.electrical.charge import ACCEPTS_PER_H, hours_to_flat, hours_to_recharge
from buildbook.electrical.model import Balance, Cranking, Fed, Solved, SupplyReport
from buildbook.electrical.readings import Readings
from buildbook.vehicle.model import Device, Vehicle

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
    day_a = sum(shares[b.state] * b.charging_a for b in balances)
    return SupplyReport(balances, cranking, day_a if any(shares.values()) else None)


def _balance(vehicle: Vehicle, state: str, shown: Readings) -> Balance:
    solution = shown.solution
    battery = vehicle.supply.battery_data
    plus, minus = vehicle.supply.battery.plus_pin, vehicle.supply.battery.minus_pin
    demand_a = solution.alternator_a - solution.charging_a
    found = Balance(
        state,
        vehicle.description.states[state].engine,
        demand_a,
        solution.alternator_a,
        solution.alternator_limit_a,
        solution.charging_a,
        shown.volts_across(plus, minus),
    )
    if solution.charging_a < 0:
        law = (vehicle.supply.battery.capacity_ah[state], -solution.charging_a)
        more = (battery.peukert, battery.rated_over)
        charged = vehicle.description.states[state].charged
        left = max(0.0, charged - (1 - battery.usable))
        found = replace(
            found,
            last_start_h=hours_to_flat(*law, left, *more),
            flat_h=hours_to_flat(*law, charged, *more),
        )
    if found.spare_a > 0:
        missing_ah = battery.usable * battery.capacity
        hours = hours_to_recharge(missing_ah, found.spare_a, accepts_a(battery), battery.efficiency)
        found = replace(found, recharge_h=hours)
    return found


def accepts_a(battery: Battery) -> float:
    """Most that the half-empty battery takes: as stated, else by its capacity."""
    return ACCEPTS_PER_H * battery.capacity if battery.accepts is None else battery.accepts


def _cranking(vehicle: Vehicle, state: str, shown: Readings) -> Cranking | None:
    """The cranking report of a state; None where no starter turns in it."""
    solution = shown.solution
    supply = vehicle.supply
    emf_v = sum(s.emf_v[state] for s in supply.batteries if s.id in supply.string)
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
