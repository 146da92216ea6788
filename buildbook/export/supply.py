"""Rows about fuses, battery and alternator, cranking and first power-up."""

from __future__ import annotations

import math
from typing import Any

from buildbook.electrical.ohmmeter import OPEN_OHMS
from buildbook.export.readings import reading_columns
from buildbook.faultfinding.power_up import PowerUp
from buildbook.result import Result


def fuse_rows(result: Result) -> list[dict[str, Any]]:
    """One row a fuse: rating, load, the weakest wire behind it, what it feeds."""
    return [
        {
            "fuse": fuse.fuse,
            "rating_a": fuse.rating_a,
            "colour": fuse.colour,
            "load_a": round(fuse.load_a, 3),
            "state": fuse.state,
            "weakest_wire": fuse.weakest_wire,
            "weakest_wire_stands_a": round(fuse.weakest_a, 2),
            "governing": fuse.governing,
            "feeds": " ".join(fuse.feeds),
        }
        for fuse in result.sizing.fuses.values()
    ]


def output_rows(result: Result) -> list[dict[str, Any]]:
    """One row an output that trips: its limit, when it trips, its load, the weakest wire behind."""
    return [
        {
            "output": output.output,
            "limit_a": output.limit_a,
            "trips": [{"amps": amps, "within_s": time} for amps, time in output.trips],
            "load_a": round(output.load_a, 3),
            "state": output.state,
            "weakest_wire": output.weakest_wire,
            "weakest_wire_stands_a": round(output.weakest_trip_a, 2),
            "feeds": list(output.feeds),
        }
        for output in result.sizing.outputs.values()
    ]


def supply_rows(result: Result) -> list[dict[str, Any]]:
    """One row a state: what loads, alternator and battery do, and how long the battery lasts."""
    return [
        {
            "state": b.state,
            "engine_rpm": b.engine_rpm,
            "demand_a": round(b.demand_a, 4),
            "alternator_a": round(b.alternator_a, 4),
            "alternator_limit_a": round(b.limit_a, 4),
            "spare_a": round(b.spare_a, 4),
            "charging_a": round(b.charging_a, 4),
            "battery_v": round(b.battery_v, 4),
            "hours_to_last_start": _hours(b.last_start_h),
            "hours_to_flat": _hours(b.flat_h),
            "hours_to_recharge": _hours(b.recharge_h),
        }
        for b in result.supply.balances
    ]


def cranking_rows(result: Result) -> list[dict[str, Any]]:
    """One row a starter or controller in a cranking state: its volts and what it works from."""
    return [
        {
            "state": cranking.state,
            "device": fed.device,
            "meter_plus": fed.plus_pin,
            "meter_minus": fed.minus_pin,
            "volts": round(fed.volts, 4),
            "works_from_v": fed.works_from_v,
            "battery_v": round(cranking.battery_v, 4),
            "battery_a": round(cranking.battery_a, 3),
        }
        for cranking in result.supply.cranking
        for fed in (*cranking.starters, *cranking.controllers)
    ]


def power_up_data(sequence: PowerUp) -> dict[str, Any]:
    """First power-up: ohms with the fuses out (null is open), then a row a fuse in its order."""

    def ohms(value: float) -> float | None:
        return None if value >= OPEN_OHMS else round(value, 4)

    return {
        "rest": sequence.rest,
        "main": {"pin": sequence.main.pin, "ohms": ohms(sequence.main.ohms)},
        "grounds": [{"pin": check.pin, "ohms": ohms(check.ohms)} for check in sequence.grounds],
        "feeds": [
            {
                "fuse": check.fuse,
                "ohms": ohms(check.ohms),
                "least_ohms": ohms(check.least_ohms),
                "state": check.state,
            }
            for check in sequence.feeds
        ],
        "steps": [
            {
                "fuse": step.fuse,
                "after": list(step.waits_for),
                "rest_a": round(step.rest_a, 4),
                "state": step.state,
                "engine_still": step.stopped,
                "fuse_a": round(step.fuse_a, 4),
                **reading_columns(step.reading),
                "battery_a": round(step.battery_a, 4),
                "full_feed": step.past_limiter,
                "lamp": step.lamp,
                "wakes": list(step.wakes),
            }
            for step in sequence.steps
        ],
    }


def _hours(value: float | None) -> float | str:
    return "" if value is None or math.isinf(value) else round(value, 4)
