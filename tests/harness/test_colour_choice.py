"""Which family of colours a circuit has, and which of its family it takes beside others."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from buildbook.as_built.model import AsBuilt
from buildbook.harness.colours import ALIKE, choose_colours, family, palette
from buildbook.vehicle.model import Vehicle
from tests.checks import minimal as m


def kind_of(*pins: str, **told: Any) -> str:
    """The family of a circuit that joins these pins of the bench."""
    bench = (
        m.BATTERY,
        m.device("lamp", "lamp", "1 2 30"),
        m.device("relay", "relay", "30 85 86 87"),
        m.device("G1", "ground", "stud", "ring-M6"),
        m.device("panel", "panel", "B"),
        m.device("plugged", "alternator", "B L"),
        m.device("alternator", "alternator", "B L", "ring-M6"),
        m.device("isolator", "isolator", "1 2", "ring-M8"),
        m.device("motor", "motor", "1 2", "ring-M6"),
        m.device(
            "ecu", "controller", "1 2 3", written={"power": {"feeds": ["1"], "grounds": ["2"]}}
        ),
        m.fuse("F1"),
    )
    vehicle = m.vehicle(bench, {"c": pins}, told={"c": told})
    return family(vehicle, vehicle.circuits["c"])


def test_what_leads_back_to_the_earthed_post_is_a_ground() -> None:
    assert kind_of("lamp.2", "G1.stud") == "ground"
    assert kind_of("lamp.2", "battery.-") == "ground"
    assert kind_of("lamp.2", "ecu.2") == "ground"
    # a signal's ground is a ground, and so is whatever joins a fuse to one
    assert kind_of("G1.stud", "lamp.2", written={"signal": True}) == "ground"
    assert kind_of("F1.out", "G1.stud") == "ground"
    assert kind_of("lamp.1", "lamp.2", is_screen=True) == "ground"


def test_what_comes_from_a_source_or_a_fuse_is_a_feed() -> None:
    for pin in ("battery.+", "F1.in", "panel.B", "ecu.1", "alternator.B", "isolator.2"):
        assert kind_of("lamp.1", pin) == "feed", pin
    # terminal 30 comes from the battery (DIN 72552)
    assert kind_of("lamp.1", "relay.30") == "feed"
    assert kind_of("lamp.1", "lamp.2", written={"family": "battery"}) == "feed"


def test_signals_and_what_is_switched_are_neither() -> None:
    for pin in ("relay.87", "ecu.3", "plugged.B", "plugged.L", "motor.1", "lamp.2"):
        assert kind_of("lamp.1", pin) == "other", pin
    assert kind_of("lamp.1", "F1.in", written={"signal": True}) == "other"
    assert kind_of("lamp.1", "lamp.2", written={"signal": True, "family": "battery"}) == "other"
    assert kind_of("lamp.1", "lamp.2", written={"family": "thin-wall"}) == "other"


def test_palettes_begin_with_plain_colours_and_have_no_stripe_that_is_like_its_ground() -> None:
    assert palette("feed")[0] == "RD" and palette("ground")[:2] == ("BK", "BN")
    assert palette("other")[:7] == ("WH", "BU", "GN", "YE", "VT", "GY", "PK")
    for kind in ("feed", "ground", "other"):
        striped = [set(c.split("/")) for c in palette(kind) if "/" in c]
        assert striped and all(len(pair) == 2 and frozenset(pair) not in ALIKE for pair in striped)
    assert {c[:2] for c in palette("feed")} == {"RD", "OG"}
    assert {c[:2] for c in palette("ground")} == {"BK", "BN"}
    # orange goes after every red, of which three pairs are alike
    feeds = [c[:2] for c in palette("feed")]
    assert feeds == sorted(feeds, reverse=True)
    assert "OG" in feeds and "RD/OG" not in palette("feed") and "OG/RD" not in palette("feed")


def of(count: int, wire: dict[str, Any] | None = None, **told: dict[str, Any]) -> Vehicle:
    """Circuits a, b, c, … that are neither feeds nor grounds."""
    lamp = m.device("lamp", "lamp", " ".join(str(n) for n in range(40)))
    circuits = {name: ("lamp.1", "lamp.2") for name in "abcdefghijklmnopqrstuvwxyz"[:count]}
    about = {"vehicle": {"name": "Bench", "date": "2026-03-01", "wire": wire or {}}}
    return m.vehicle((lamp,), circuits, told={k: {"written": v} for k, v in told.items()}, **about)


def test_each_takes_the_first_colour_that_nothing_beside_it_has() -> None:
    beside = {"one": ["a", "b", "c"], "other": ["c", "d"]}
    assert choose_colours(of(4), beside, {}) == {"a": "WH", "b": "BU", "c": "GN", "d": "WH"}
    # apart from each other all have the first
    assert set(choose_colours(of(4), {}, {}).values()) == {"WH"}


def test_a_panel_counts_after_connectors() -> None:
    found = choose_colours(of(3), {"plug": ["a", "b"]}, {"panel": ["a", "b", "c"]})
    assert found == {"a": "WH", "b": "BU", "c": "GN"}
    # b may have white, which no plug of it holds; the panel holds white and blue once each
    wire = {"colours": ["WH", "BU"]}
    found = choose_colours(of(3, wire), {"plug": ["a", "c"]}, {"panel": ["a", "b", "c"]})
    assert found == {"a": "WH", "b": "BU", "c": "BU"}


def test_colours_that_are_said_or_built_come_first_and_others_keep_clear_of_them() -> None:
    vehicle = of(3, c={"colour": "WH"})
    beside = {"plug": ["a", "b", "c"]}
    assert choose_colours(vehicle, beside, {}) == {"c": "WH", "a": "BU", "b": "GN"}
    own = {"number": 9, "colour": "BU", "wires": {}}
    built = AsBuilt.model_validate({"revision": "A", "circuits": {"b": own, "c": own}})
    found = choose_colours(replace(vehicle, as_built=built), beside, {})
    assert found == {"b": "BU", "c": "WH", "a": "GN"}


def test_where_all_are_taken_two_alike_go_to_the_plug_with_more_in_it() -> None:
    # in the plug of three both colours are taken; e meets a (white) in two, b (blue) in three
    wire = {"colours": ["WH", "BU"]}
    beside = {"two": ["a", "e"], "three": ["b", "c", "e"]}
    found = choose_colours(of(5, wire, c={"colour": "GN"}, b={"colour": "BU"}), beside, {})
    assert found["a"] == "WH" and found["e"] == "BU"
    # one twin in a plug of two is worse than two in one of three: 1 / 4 against 2 / 9
    beside = {"two": ["a", "e"], "three": ["b", "c", "e"]}
    told = {"a": {"colour": "WH"}, "b": {"colour": "BU"}, "c": {"colour": "BU"}}
    assert choose_colours(of(5, wire, **told), beside, {})["e"] == "BU"


def test_a_feed_has_what_is_owned_of_red_then_any_other_signal_s_colour_first() -> None:
    fuses = tuple(m.fuse(f"F{n}") for n in range(4))
    joined = {f"f{n}": (f"F{n}.in", f"F{n}.out") for n in range(4)}
    beside = {"box": list(joined)}

    def found(*colours: str, **more: Any) -> list[str]:
        wire = {"colours": colours} | more
        about = {"vehicle": {"name": "Bench", "date": "2026-03-01", "wire": wire}}
        return list(choose_colours(m.vehicle(fuses, joined, **about), beside, {}).values())

    assert found("BK", "WH", "RD", "BU", "RD/WH") == ["RD", "RD/WH", "WH", "BU"]
    # black, a ground's colour, goes last
    assert found("BK", "RD", "WH") == ["RD", "WH", "BK", "RD"]
    # what is on a reel is owned too
    reel = {"colour": "OG", "size": "1 mm2", "length": "3 m"}
    assert found("RD", reels=[reel]) == ["OG", "RD", "OG", "RD"]


def test_more_than_six_in_a_plug_may_repeat_and_leave_their_family_for_nothing() -> None:
    # one twin in a plug of seven weighs less than one in six: the red stays
    for count, expected in ((7, {"RD"}), (6, {"RD", "WH"})):
        fuses = tuple(m.fuse(f"F{n}") for n in range(count))
        joined = {f"f{n}": (f"F{n}.in", f"F{n}.out") for n in range(count)}
        wire = {"colours": ["RD", "WH"]}
        about = {"vehicle": {"name": "Bench", "date": "2026-03-01", "wire": wire}}
        found = choose_colours(m.vehicle(fuses, joined, **about), {"box": list(joined)}, {})
        assert set(list(found.values())[:2]) == expected, count


@pytest.mark.parametrize(("kind", "expected"), [("thin-wall", "GY"), ("battery", "WH")])
def test_of_colours_as_good_one_on_a_reel_of_the_circuit_s_family_goes_first(kind, expected):
    reel = {"colour": "GY", "size": "1 mm2", "length": "3 m", "family": kind}
    assert choose_colours(of(1, {"reels": [reel]}), {}, {}) == {"a": expected}
    own = of(1, {"reels": [reel]}, a={"family": kind, "signal": True})
    assert choose_colours(own, {}, {}) == {"a": "GY"}
