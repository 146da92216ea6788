"""The vehicle at a glance: power diagram, charging balance, plan."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.electrical.supply import accepts_a
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    alternator = result.vehicle.supply.generator_data
    generator = result.vehicle.supply.generator
    battery = result.vehicle.supply.battery_data
    several = len(result.vehicle.supply.batteries) > 1
    context = {
        "balances": result.supply.balances,
        "batteries": result.vehicle.supply.batteries if several else (),
        "refills": [b for b in result.supply.balances if b.recharge_h is not None],
        "generator": result.vehicle.supply.generator_word,
        "day_a": result.supply.day_a,
        "battery": battery,
        "alternator": alternator,
        "hot_c": generator.air_c if generator and alternator and alternator.per_kelvin else None,
        "accepts": accepts_a(battery),
        "power": drawings.first("power"),
        "plan": drawings.of("plan"),
        "charging": drawings.first("charging"),
    }
    kinds = ("power", "charging", "plan")
    shown = tuple(drawing for kind in kinds for drawing in drawings.of(kind))
    return (Chapter("glance", "The vehicle at a glance", "glance.html", context, shown),)
