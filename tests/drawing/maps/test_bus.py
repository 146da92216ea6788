"""Bus topology: the line, its stubs and its resistors as laid, however many nodes there are."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.drawing.maps.bus import Bus, _maps, bus_maps, buses, slots_of
from buildbook.figures import METRIC
from buildbook.harness.bus import BusLine, Stop, Stub, bus_line
from tests.drawing.reading import faults, letterings


def test_the_line_runs_between_the_terminated_devices_over_the_wires_as_cut(lapwing):
    """Display and logger close the line; the wires meet at one splice."""
    (bus,) = buses(lapwing)
    wires = [w for w in lapwing.harness.wires.values() if w.circuit == bus.high]
    cut = {(w.a if w.a.kind == "pin" else w.b).node.split(".")[0]: w.cut_m for w in wires}
    assert {load.device for load in bus.resistors} == {"display", "logger"}
    assert bus.line.length_m == pytest.approx(cut["display"] + cut["logger"])
    assert [stub.pin.split(".")[0] for s in bus.line.stops for stub in s.stubs] == ["ecu"]
    assert bus.stubs_m["ecu"] >= cut["ecu"]


def test_the_high_wire_is_the_one_that_is_not_named_low(lapwing):
    """The order of a cable's cores says nothing of which is which."""
    written = lapwing.vehicle.description
    turned = {
        name: cable.model_copy(update={"cores": cable.cores[::-1]})
        for name, cable in written.cables.items()
    }
    description = written.model_copy(update={"cables": turned})
    vehicle = replace(lapwing.vehicle, description=description)
    (as_written,), (swapped,) = buses(lapwing), buses(replace(lapwing, vehicle=vehicle))
    assert (as_written.high, swapped.high) == ("data bus high", "data bus high")


def test_two_resistors_of_120_ohm_read_60_ohm(lapwing):
    """ISO 11898-2: 120 ohm at each end; side by side half of that."""
    (bus,) = buses(lapwing)
    assert bus.across_ohm == pytest.approx(60)


def test_every_device_and_length_stands_on_the_drawing(lapwing):
    (bus,), ((drawing,),) = buses(lapwing), bus_maps(lapwing).values()
    texts = [t.text for t in letterings(drawing)]
    for name in ("display", "logger", "ecu"):
        assert texts.count(name) == 1
    for stop in bus.line.stops[1:]:
        assert METRIC.reel(stop.from_last_m) in texts
    assert METRIC.reel(bus.stubs_m["ecu"]) in texts and "too long" in texts
    assert any("60 Ω" in t and METRIC.reel(bus.line.length_m) in t for t in texts)
    assert texts.count("120 Ω across") == 2
    assert faults(drawing) == []


def test_a_vehicle_without_a_bus_has_no_drawing_of_one(two_wire):
    assert bus_maps(two_wire) == {}


def test_without_two_ends_the_line_is_the_longest_way(lapwing):
    """ecu to logger is further than display to logger."""
    line = bus_line(lapwing.harness, "data bus high", ())
    assert {line.stops[0].node, line.stops[-1].node} == {"ecu.A26", "logger.3"}
    assert line.stub_m("display") is not None


@pytest.mark.parametrize("count", [1, 6, 7, 40, 300])
def test_a_long_line_folds_and_loses_no_node(lapwing, count):
    stops = (
        Stop("first.1", "pin", 0.0, ()),
        *(
            Stop(f"S9{n}", "splice", 0.51, (Stub(f"a node of a long name {n}.H", 0.2),))
            for n in range(count)
        ),
        Stop("last.1", "pin", 0.4, ()),
    )
    stubs = {f"a node of a long name {n}": 0.2 + n / 1000 for n in range(count)}
    bus = Bus("cable", "high", "low", BusLine(stops), stubs, (), {})
    assert len(slots_of(bus, METRIC)) == count + 2
    drawings = _maps(lapwing, bus, 1)
    assert [f for d in drawings for f in faults(d)] == []
    assert all(d.width_mm <= 170 and d.height_mm <= 250 for d in drawings)
    texts = [t.text for d in drawings for t in letterings(d)]
    assert all(texts.count(f"S9{n}") == 1 for n in range(count))
    assert texts.count("0.51 m") == count


def test_a_pass_through_on_the_way_joins_its_halves_without_length(lapwing):
    """A circuit that crosses X1: its two wires and no more."""
    crossing = next(
        p
        for p in lapwing.harness.pass_pins
        if sum(w.circuit == p.circuit for w in lapwing.harness.wires.values()) == 2
    )
    line = bus_line(lapwing.harness, crossing.circuit, ())
    wires = [lapwing.harness.wires[w] for w in crossing.wires.values()]
    assert line.length_m == pytest.approx(sum(w.cut_m for w in wires))
    assert [s.kind for s in line.stops] == ["pin", "half", "pin"]


def test_two_buses_have_two_drawings(lapwing):
    cable = lapwing.vehicle.description.cables["data bus cable"]
    text = lapwing.vehicle.description
    text = text.model_copy(update={"cables": {"one": cable, "two": cable}})
    vehicle = replace(lapwing.vehicle, description=text)
    ((system, maps),) = bus_maps(replace(lapwing, vehicle=vehicle)).items()
    assert [d.name for d in maps] == ["bus-1", "bus-2"]
    assert system == lapwing.vehicle.circuits["data bus high"].system
