"""An alternator that its charge lamp starts: without the lamp it never charges (the trade's
knowledge: its field has no current of its own until it gives some)."""

from __future__ import annotations

import pytest

from tests.changed_motorcycle import motorcycle_with

LAMP = """  charge-lamp:
    kind: lamp
    name: Charge lamp
    at: headstock
    system: supply
    plug: sealed-2
    pins: {1: feed, 2: alternator}
    draws: {watts: 2 W, at: 12 V, in: [ignition on, cranking], what: the lamp glows}
"""
CIRCUITS = """  charge lamp feed: {join: [panel.I, charge-lamp.1], system: supply}
  charge lamp: {join: [charge-lamp.2, rectifier.L], system: supply}
"""
LIGHTS = """      L: {use: charge lamp, contact: blade-6.3}
    contacts: {from: L, to: B-, closed: ["off", ignition on, cranking], limit: 1 A}
"""


def with_lamp(tmp_path, excited):
    return motorcycle_with(tmp_path, excited, LIGHTS, CIRCUITS, LAMP)


@pytest.fixture(scope="module")
def started_by_lamp(tmp_path_factory):
    return with_lamp(tmp_path_factory.mktemp("lamp"), "    excited at: rectifier.L\n")


@pytest.fixture(scope="module")
def starts_itself(tmp_path_factory):
    return with_lamp(tmp_path_factory.mktemp("self"), "")


DARK = ("open load:charge-lamp", "open pin:charge-lamp.1", "open pin:rectifier.L")


@pytest.mark.parametrize("fault", DARK)
def test_a_dark_lamp_leaves_the_battery_uncharged(started_by_lamp, starts_itself, fault):
    assert started_by_lamp.faultfinding.charging[fault]
    assert fault not in starts_itself.faultfinding.charging


def test_the_lamp_is_lit_at_rest_and_both_its_ends_are_alike_while_it_charges(started_by_lamp):
    at_rest, riding = (started_by_lamp.readings[s] for s in ("ignition on", "riding"))
    lit = at_rest.across_pins("charge-lamp.1", "charge-lamp.2")
    dark = riding.across_pins("charge-lamp.1", "charge-lamp.2")
    assert lit.volts.nominal > 11
    assert abs(dark.volts.nominal) < 0.05
    # In its range a bulb of 12 V and 2 W may take 167 mA: no loss to speak of but in itself.
    assert riding.at_pin("rectifier.L").volts.nominal > 13


def test_a_dead_alternator_lights_the_lamp_with_the_engine_running(started_by_lamp):
    seen = started_by_lamp.faultfinding.effects["open alternator"]
    lamp = {effect.effect for effect in seen if effect.load == "charge-lamp"}
    assert lamp == {"stuck on"}
    (symptom,) = [
        s for s in started_by_lamp.faultfinding.symptoms if "open alternator" in s.suspects
    ]
    assert "harge lamp" in symptom.title and "battery not charged" in symptom.title
