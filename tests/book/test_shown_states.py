"""Readings in the states that the book shows, and in others only where a meter tells them apart."""

from __future__ import annotations

import pytest

from buildbook.book.shared_rows import two_states
from buildbook.book.shown_states import (
    DIFFERS_V,
    elsewhere,
    same_reading,
    shown_states,
)
from buildbook.electrical.reading import WITHIN_SHARE, Reading
from buildbook.electrical.span import exactly


def steady(volts: float) -> Reading:
    return Reading("steady", exactly(volts))


def test_at_rest_switched_on_and_idling_are_shown(lapwing):
    assert shown_states(lapwing) == ("off", "ignition on", "idle")


def test_a_trailer_has_one_state(two_wire):
    assert shown_states(two_wire) == ("lit",)


@pytest.mark.parametrize(
    ("one", "other", "ratio", "same"),
    [
        (steady(12.0), steady(12.4), 1.0, True),
        (steady(12.0), steady(10.0), 1.0, False),
        (steady(12.0), steady(10.0), 10.0 / 12.0, True),
        (steady(0.0), steady(12.0), 10.0 / 12.0, False),
        (steady(12.0), Reading("floating"), 1.0, False),
        (None, steady(12.0), 1.0, False),
        (None, None, 1.0, True),
    ],
    ids=["near", "far", "battery sags", "switched", "floats", "appears", "never there"],
)
def test_readings_are_told_apart_beyond_what_the_battery_makes_of_them(one, other, ratio, same):
    assert same_reading(one, other, ratio) == same


@pytest.mark.parametrize("vehicle", ["motorcycle", "lapwing"])
def test_what_is_not_shown_of_a_pin_a_meter_cannot_tell_from_what_is(vehicle, request):
    """Every pin in every state: read in a column, told elsewhere, or near the state it is like."""
    result = request.getfixturevalue(vehicle)
    states, shown = result.vehicle.description.states, shown_states(result)
    stopped, running = two_states(result)
    volts = {b.state: b.battery_v for b in result.supply.balances}
    unsaid = 0
    for pin in result.vehicle.pins:
        found = elsewhere(result, lambda s, p=pin: result.readings[s].at_pin(p), same_reading)
        told = {state: other.shown for other in found for state in other.states}
        assert not told.keys() & set(shown)
        for state in states.keys() - set(shown):
            there = result.readings[state].at_pin(pin)
            if there is None or there.kind != "steady":
                continue
            like = running if states[state].engine > 300 else stopped
            near = told.get(state, result.readings[like].at_pin(pin))
            assert near is not None and near.kind == "steady", (pin, state)
            reach = max(DIFFERS_V, WITHIN_SHARE * abs(near.volts.nominal)) + 1e-9
            scaled = near.volts.nominal * volts[state] / volts[like]
            apart = min(abs(there.volts.nominal - v) for v in (near.volts.nominal, scaled))
            assert apart <= reach, (pin, state)
            unsaid += state not in told
    assert unsaid > 50
