"""The supply's pins and the operating states, checked."""

from __future__ import annotations

from buildbook.description import models as written
from buildbook.vehicle.model import Pin
from buildbook.vehicle.scope import Scope


def joined_supply(scope: Scope, pins: dict[str, Pin]) -> written.Supply:
    """The supply with `between` holding pin ids; values out of range are noted."""
    supply = scope.description.supply
    battery = supply.battery.model_copy(update={"between": _between(scope, "battery", pins)})
    alternator = supply.alternator
    _check_positive(scope, "battery", ("volts", "resistance", "capacity"))
    if alternator is not None:
        _check_positive(scope, "alternator", ("volts", "resistance"))
        _check_curve(scope, alternator)
        if alternator.volts <= supply.battery.volts:
            scope.say(
                ("supply", "alternator", "volts"),
                f"the alternator gives {alternator.volts:g} V, not more than the battery's "
                f"{supply.battery.volts:g} V",
                "it could never charge",
            )
        alternator = alternator.model_copy(update={"between": _between(scope, "alternator", pins)})
    return supply.model_copy(update={"battery": battery, "alternator": alternator})


def _between(scope: Scope, name: str, pins: dict[str, Pin]) -> tuple[str, str]:
    given = getattr(scope.description.supply, name).between
    path = ("supply", name, "between")
    found = [scope.pin((*path, index), text, pins) for index, text in enumerate(given)]
    if found[0] is not None and found[0] == found[1]:
        scope.say(path, f"the {name} is between `{given[0]}` and itself", "", "name two pins")
    one, other = (pin.id if pin else text for pin, text in zip(found, given, strict=True))
    return one, other


def _check_positive(scope: Scope, name: str, keys: tuple[str, ...]) -> None:
    for key in keys:
        if getattr(getattr(scope.description.supply, name), key) <= 0:
            scope.say(("supply", name, key), f"`{key}` of the {name} must be above zero")


def _check_curve(scope: Scope, alternator: written.Alternator) -> None:
    path = ("supply", "alternator", "curve")
    if not alternator.curve:
        scope.say(path, "the alternator's `curve` is empty", "", "write [[1500 rpm, 20 A], …]")
    for index in range(1, len(alternator.curve)):
        if alternator.curve[index][0] <= alternator.curve[index - 1][0]:
            scope.say(
                (*path, index),
                "the speeds of the alternator's `curve` do not rise",
                "",
                "write the slowest first",
            )
    for index, (_, current_a) in enumerate(alternator.curve):
        if current_a <= 0:
            scope.say((*path, index), "a current of the alternator's `curve` is not above zero")


def check_states(scope: Scope) -> None:
    """At least one operating state; their shares of the day make at most all of it."""
    states = scope.description.states
    if not states:
        scope.say(("states",), "there are no operating states", "", "add at least `off` and `on`")
    total = sum(state.share for state in states.values())
    if total > 1 + 1e-9:
        scope.say(
            ("states",),
            f"the shares of the operating states add up to {total:.0%}",
            "a day has 100 %",
            "lower them until they make 100 % or less",
        )
    for name, state in states.items():
        if state.share < 0:
            scope.say(("states", name, "share"), "a share cannot be below zero")
        if state.engine < 0:
            scope.say(("states", name, "engine"), "an engine speed cannot be below zero")
