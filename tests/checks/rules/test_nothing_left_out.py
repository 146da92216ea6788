"""Where a rule has more to say than it names, it says how much more."""

from __future__ import annotations

from dataclasses import replace

from buildbook.checks.rules import colours_alike, live_pins, moving_no_slack, pinned_too_small
from buildbook.harness.model import Bundle
from buildbook.sizing.model import Limit
from buildbook.vehicle.model import PassThrough
from buildbook.words.joined import few_of
from tests.checks import minimal as m
from tests.checks.rules.test_completeness import BATTERY, LAMP


def test_names_that_are_left_out_are_counted():
    assert few_of(["a"]) == "a"
    assert few_of(["a", "b", "c"], 3) == "a, b, c"
    assert few_of(["a", "b", "c", "d", "e"], 3) == "a, b, c and 2 more"


def test_four_live_pins_are_three_and_one_more():
    pins = tuple(m.pin("X1", name, cavity=name) for name in "1234")
    through = m.device("X1", "pass-through", "1 2 3 4")
    half = replace(m.connector("X1/h", device="X1", pins=pins, harness="h"), gender="pin")
    names = {f"c{n}": ("battery.+", f"X1.{n}") for n in "1234"}
    wires = tuple(
        m.wire(f"10{n}", f"c{n}", m.end("battery.+"), m.end(f"X1.{n}"), harness="h") for n in "1234"
    )
    passing = PassThrough("X1", "P", ("h", "k"), "two", m.plug(), {}, False, m.HERE)
    vehicle = replace(m.vehicle((BATTERY, through), names), pass_throughs=(passing,))
    (found,) = live_pins.check(m.assessed(vehicle, m.harness(wires, connectors=(half,))))
    assert "1, 2, 3 and 1 more." in found.text


def test_three_wires_without_slack_are_one_and_two_more():
    runs = (m.run("still", "A", "B"), m.run("moves", "B", "C", zone="door"))
    zones = {"cabin": {"ambient": "40 degC"}, "door": {"ambient": "40 degC", "moving": True}}
    wires = tuple(
        m.wire(f"10{n}", "c", m.end("battery.+"), m.end("lamp.1"), runs=("still", "moves"))
        for n in "123"
    )
    bundle = Bundle("moves", ("101", "102", "103"))
    vehicle = m.vehicle((BATTERY, LAMP), {"c": ("battery.+", "lamp.1")}, runs, zones=zones)
    (found,) = moving_no_slack.check(m.assessed(vehicle, m.harness(wires, bundles=(bundle,))))
    assert "wire 101 and 2 more have no slack" in found.text


def test_three_wires_of_one_colour_are_three_pairs():
    """1-2, 1-3 and 2-3."""
    pins = tuple(m.pin("lamp", name) for name in "123")
    wires = tuple(
        m.wire(f"10{n}", f"c{n}", m.end("S", "splice"), m.end(f"lamp.{n}", connector="lamp"))
        for n in "123"
    )
    harness = m.harness(wires, connectors=(m.connector("lamp", pins=pins),))
    (found,) = colours_alike.check(m.assessed(m.vehicle(), harness))
    assert found.text.endswith("are both RD; 2 more pairs are alike.")


def test_size_too_small_for_two_reasons_names_both():
    vehicle = m.vehicle((BATTERY, LAMP), {"feed": ("battery.+", "lamp.1")})
    heat = Limit("heat", 20.0, 11.0, "A", "2.5 mm2", "here")
    fuse = Limit("fuse", 30.0, 15.0, "A", "4 mm2", "here")
    author = Limit("author", 4.0, 0.5, "mm2", "0.5 mm2", "here")
    sizing = m.sizing(m.sized("101", pinned=True, limits=(heat, fuse, author)))
    wires = (m.wire("101", "feed", m.end("battery.+"), m.end("lamp.1")),)
    (found,) = pinned_too_small.check(m.assessed(vehicle, m.harness(wires), sizing_=sizing))
    assert "20 A where 11 A" in found.text and "30 A where 15 A" in found.text
    assert found.remedy == "Take 4 mm2 or more, or leave `size` out."


def test_short_that_names_no_size_asks_for_none():
    vehicle = m.vehicle((BATTERY, LAMP), {"feed": ("battery.+", "lamp.1")})
    short = Limit("short", 900.0, 400.0, "A2s", "", "here")
    sizing = m.sizing(m.sized("101", pinned=True, limits=(short,)))
    wires = (m.wire("101", "feed", m.end("battery.+"), m.end("lamp.1")),)
    (found,) = pinned_too_small.check(m.assessed(vehicle, m.harness(wires), sizing_=sizing))
    assert found.remedy.startswith("Leave `size` out")
