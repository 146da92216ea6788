"""A data bus read off its wires: the line, what branches off it, and how far apart devices are."""

from __future__ import annotations

import pytest

from buildbook.harness.bus import BusLine, apart_m, bus_line
from buildbook.harness.model import End, Harness
from tests.checks import minimal as m


def splice(name: str) -> End:
    return m.end(name, "splice")


def half(side: str) -> End:
    return m.end(f"X1.1/{side}", "half")


def of(*wires: tuple[End, End, float], circuit: str = "high") -> Harness:
    """A harness of these wires, numbered in their order, and one of another circuit."""
    made = [m.wire(str(n), circuit, a, b, metres) for n, (a, b, metres) in enumerate(wires)]
    other = m.wire("low", "low", m.end("ecu.9"), m.end("far.9"), 0.01)
    return m.harness((*made, other))


LINE = of(
    (m.end("ecu.1"), splice("S1"), 2.0),
    (splice("S1"), m.end("dash.7"), 0.25),
    (splice("S1"), m.end("box.rear.3"), 0.125),
    (splice("S1"), half("cabin"), 1.0),
    (half("engine"), m.end("logger.1"), 0.5),
)
"""From ecu to logger by a splice with two stubs and one contact of a pass-through."""


def told(line: BusLine) -> list[tuple[str, str, float]]:
    return [(stop.node, stop.kind, stop.from_last_m) for stop in line.stops]


def test_the_line_runs_between_the_devices_that_end_it_and_stubs_hang_on_its_splices() -> None:
    line = bus_line(LINE, "high", ["ecu", "logger"])
    assert told(line) == [
        ("ecu.1", "pin", 0.0),
        ("S1", "splice", 2.0),
        ("X1.1", "half", 1.0),
        ("logger.1", "pin", 0.5),
    ]
    assert line.length_m == pytest.approx(3.5)
    stubs = {stop.node: [(s.pin, s.length_m) for s in stop.stubs] for stop in line.stops}
    assert stubs == {"ecu.1": [], "S1": [("box.rear.3", 0.125), ("dash.7", 0.25)]} | {
        "X1.1": [],
        "logger.1": [],
    }
    # a device's name may have a dot: the pin is what follows the last
    assert line.stub_m("box.rear") == 0.125 and line.stub_m("dash") == 0.25
    assert line.stub_m("ecu") is None and line.stub_m("box") is None


def test_where_no_two_devices_end_it_the_line_joins_the_two_pins_furthest_apart() -> None:
    # ecu to logger is 3.5 m, ecu to dash 2.25 m, dash to logger 1.75 m
    for ends in ([], ["ecu"], ["ecu", "dash", "logger"], ["ecu", "nowhere"]):
        found = [stop.node for stop in bus_line(LINE, "high", ends).stops]
        assert sorted((found[0], found[-1])) == ["ecu.1", "logger.1"], ends
    short = bus_line(LINE, "high", ["dash", "logger"])
    assert (short.length_m, short.stub_m("ecu")) == (pytest.approx(1.75), 2.0)


def test_ends_that_no_wire_joins_give_the_longest_piece_that_is_joined() -> None:
    pieces = of(
        (m.end("a.1"), m.end("b.1"), 1.0),
        (m.end("c.1"), m.end("d.1"), 3.0),
        (m.end("d.1"), m.end("e.1"), 1.0),
    )
    line = bus_line(pieces, "high", ["a", "c"])
    assert [stop.node for stop in line.stops] == ["c.1", "d.1", "e.1"]
    assert all(stop.stubs == () for stop in line.stops), "a.1 and b.1 hang on nothing here"


def test_a_bus_without_wires_has_no_line_and_one_pin_is_a_line_of_itself() -> None:
    assert bus_line(LINE, "nothing", ["ecu", "logger"]) == BusLine(())
    alone = bus_line(of((m.end("ecu.1"), m.end("1.cap", "capped"), 0.5)), "high", [])
    assert told(alone) == [("ecu.1", "pin", 0.0)]


def test_devices_are_apart_by_the_wire_between_them_whatever_the_rope() -> None:
    found = apart_m(LINE, "high")
    assert found["ecu"] == pytest.approx(
        {"ecu": 0.0, "box.rear": 2.125, "dash": 2.25, "logger": 3.5}
    )
    assert found["dash"]["logger"] == found["logger"]["dash"] == pytest.approx(1.75)
    assert apart_m(LINE, "low")["ecu"] == pytest.approx({"ecu": 0.0, "far": 0.01})
