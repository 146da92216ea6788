"""The vehicle at a glance: power diagram, charging balance, plan."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.formats import plain, share
from buildbook.electrical.supply import accepts_a
from buildbook.result import Result
from buildbook.words.say import mark, say

GIVES = {"alternator": mark("Alternator gives"), "dynamo": mark("Dynamo gives")}
COULD_GIVE = {
    "alternator": mark(
        "The alternator could give what its curve says at {at} °C, less {less} for every degree up "
        "to the {hot} °C of its place."
    ),
    "dynamo": mark(
        "The dynamo could give what its curve says at {at} °C, less {less} for every degree up to "
        "the {hot} °C of its place."
    ),
}


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    alternator = result.vehicle.supply.generator_data
    generator = result.vehicle.supply.generator
    called = result.vehicle.supply.generator_word
    hot = ""
    air_c = generator.air_c if generator else None
    if air_c is not None and alternator and alternator.per_kelvin:
        hot = say(
            COULD_GIVE[called],
            at=plain(alternator.curve_at),
            less=share(alternator.per_kelvin),
            hot=plain(air_c),
        )
    battery = result.vehicle.supply.battery_data
    several = len(result.vehicle.supply.batteries) > 1
    context = {
        "balances": result.supply.balances,
        "batteries": result.vehicle.supply.batteries if several else (),
        "refills": [b for b in result.supply.balances if b.recharge_h is not None],
        "generator_gives": say(GIVES[called]),
        "day_a": result.supply.day_a,
        "battery": battery,
        "hot_words": hot,
        "accepts": accepts_a(battery),
        "power": drawings.first("power"),
        "plan": drawings.of("plan"),
        "charging": drawings.first("charging"),
    }
    kinds = ("power", "charging", "plan")
    shown = tuple(drawing for kind in kinds for drawing in drawings.of(kind))
    return (Chapter("glance", say("The vehicle at a glance"), "glance.html", context, shown),)
