"""Beside a pin that a sheet does not wire: the bus or the wire that feeds it; harness bounds."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from buildbook.drawing.faces.panel import panels
from buildbook.drawing.schematic.elsewhere import DrawnElsewhere, drawn_elsewhere
from buildbook.drawing.schematic.system_elements import wires_of
from buildbook.drawing.shared.zones import zone_of
from tests.drawing.ends import lines_of
from tests.drawing.schematic.test_schematic import SVG, texts
from tests.drawing.svg import scene
from tests.once import schematics_of


def _refers(sheet, words: str) -> tuple[str, str]:
    """Drawing and zone of the reference on the line above or below these words."""
    drawn = scene(sheet.svg).texts
    (mine,) = [t for t in drawn if t.text == words]
    near = [
        t
        for t in drawn
        if t.at.said("data-sheet")
        and "away" in t.at.classes
        and abs(t.quad[0][0] - mine.quad[0][0]) < 0.1
        and abs(t.quad[0][1] - mine.quad[0][1]) < 4
    ]
    (found,) = near
    return found.at.said("data-sheet"), found.at.said("data-zone")


def _ends(sheet, wire: str) -> set[str]:
    """Border zones in which a wire's drawn line ends, or right beside."""
    size = (sheet.width_mm, sheet.height_mm)
    ends = [
        end
        for line in lines_of(scene(sheet.svg), sheet.name)
        if line.wire == wire
        for end in line.ends
    ]
    return {zone_of(x + dx, y + dy, *size) for x, y in ends for dx in (-1, 1) for dy in (-1, 1)}


def test_a_fuse_on_a_bus_bar_names_the_panels_stud_and_where_it_is_drawn(lapwing) -> None:
    """The description puts F4 on the panel's bus B, the battery bus, which one wire feeds."""
    wires = lapwing.harness.wires.values()
    feed = next(wire.id for wire in wires if "panel.B" in (wire.a.node, wire.b.node))
    found = drawn_elsewhere(lapwing, lapwing.vehicle.devices["F4"], {"F4.out"}, ("fuel",))
    assert found == {"F4.in": DrawnElsewhere("panel.B battery bus", feed, "panel.B", True)}
    drawn = schematics_of(lapwing)
    name, zone = _refers(drawn["fuel"][0], "panel.B battery bus")
    (there,) = [s for s in drawn["supply"] if s.name == name]
    assert zone in _ends(there, feed)


def test_a_pin_wired_in_another_system_names_that_wire_and_where_it_is_drawn(lapwing) -> None:
    """The description joins K3.86 in a circuit of system control."""
    circuits = lapwing.vehicle.circuits
    pin = next(w for w in lapwing.harness.wires.values() if "K3.86" in (w.a.node, w.b.node))
    assert circuits[pin.circuit].system == "control"
    drawn = schematics_of(lapwing)
    name, zone = _refers(drawn["fuel"][0], f"86 ({pin.id})")
    (there,) = [s for s in drawn["control"] if s.name == name]
    assert zone in _ends(there, pin.id)


def test_a_pin_with_wires_of_two_systems_names_the_other_systems_wire(lapwing) -> None:
    """The isolator's pin 2 feeds panel fuse (supply) and starter (starting)."""
    circuits = lapwing.vehicle.circuits
    sides = {
        circuits[wire.circuit].system: wire.id
        for wire in lapwing.harness.wires.values()
        if "isolator.2" in (wire.a.node, wire.b.node)
    }
    assert sides.keys() == {"supply", "starting"}
    for system, other in (("supply", sides["starting"]), ("starting", sides["supply"])):
        assert lapwing.vehicle.circuits[lapwing.harness.wires[other].circuit].system != system
        found = drawn_elsewhere(
            lapwing, lapwing.vehicle.devices["isolator"], {"isolator.2"}, (system,)
        )
        assert found["isolator.2"].words == other != sides[system]
        words = [t for t, _, _, c in texts(schematics_of(lapwing)[system][0]) if c == "away"]
        assert f"+{other}" in words


def test_every_wired_pin_of_a_device_is_left_to_its_own_wires(motorcycle) -> None:
    for device in motorcycle.vehicle.devices.values():
        pins = {p.id for p in device.pins}
        for system in motorcycle.vehicle.description.systems:
            found = drawn_elsewhere(motorcycle, device, pins, (system,))
            wires = [motorcycle.harness.wires[a.wire] for a in found.values()]
            assert all(motorcycle.vehicle.circuits[w.circuit].system != system for w in wires)


def test_a_fuse_shows_its_rating_and_a_switch_when_it_is_closed(lapwing) -> None:
    drawn = schematics_of(lapwing)
    fuel = [t for t, _, _, c in texts(drawn["fuel"][0]) if c == "name"]
    assert f"{lapwing.sizing.fuses['F4'].rating_a:g} A Fuel pump" in fuel
    starting = [t for t, _, _, c in texts(drawn["starting"][0]) if c == "name"]
    assert {"closed: clutch down", "closed: start button"} <= set(starting)
    supply = [t for t, _, _, c in texts(drawn["supply"][0]) if c == "name"]
    assert {"1-2: ignition on", "2-3: start button"} <= set(supply)


def test_a_block_says_where_it_is_fed_and_grounded(lapwing) -> None:
    """The description lists A1 first among the controller's feeds and A34 among its grounds."""
    drawn = schematics_of(lapwing)
    power = lapwing.vehicle.devices["ecu"].written.power
    wires = lapwing.harness.wires.values()
    for word, name in (("feed", power.feeds[0]), ("ground", power.grounds[0])):
        (wire,) = [w.id for w in wires if f"ecu.{name}" in (w.a.node, w.b.node)]
        found = [t for t in scene(drawn["fuel"][0].svg).texts if "away" in t.at.classes]
        places = [n for n, t in enumerate(found) if t.text == word]
        assert places
        for refers in (found[place + 1].at for place in places):
            (there,) = [s for s in drawn["control"] if s.name == refers.said("data-sheet")]
            assert refers.said("data-zone") in _ends(there, wire)


def test_a_device_is_said_to_be_in_its_system_only_if_that_one_draws_it(lapwing) -> None:
    """The fuel level sender belongs to the fuel system, but all its wires go to the display."""
    devices, drawn = lapwing.vehicle.devices, schematics_of(lapwing)
    said = {
        system: {t for s in sheets for t, _, _, c in texts(s) if c == "name"}
        for system, sheets in drawn.items()
    }
    assert devices["fuel-level"].system == "fuel" and "fuel-level" not in said["fuel"]
    assert "(in fuel)" not in said["data"]
    assert devices["fuel-pressure"].system == "fuel" and "(in fuel)" in said["control"]


def test_a_bus_bar_leads_to_the_page_of_its_fuses(lapwing) -> None:
    (sheet,) = schematics_of(lapwing)["supply"]
    found = [t for t in scene(sheet.svg).texts if "away" in t.at.classes]
    places = [n for n, t in enumerate(found) if t.text == "fuses"]
    assert len(places) == 2, "panel.B and panel.I"
    assert {found[n + 1].at.said("data-sheet") for n in places} == {"panel-panel"}
    assert "panel-panel" in {drawing.name for (drawing,) in panels(lapwing).values()}


def test_a_sensor_split_over_sheets_says_where_its_other_pins_are(lapwing) -> None:
    """The boost sensor's signal is drawn with the engine's; 320b feeds it, 322b is its return."""
    drawn = schematics_of(lapwing)
    (sheet,) = [s for s in drawn["engine"] if 'data-of="boost-sensor"' in s.svg]
    found = [t for t in scene(sheet.svg).texts if "away" in t.at.classes]
    for pin, wire in (("1", "320b"), ("3", "322b")):
        ends = lapwing.harness.wires[wire]
        assert f"boost-sensor.{pin}" in (ends.a.node, ends.b.node)
        (place,) = [n for n, t in enumerate(found) if t.text == f"{pin} ({wire})"]
        refers = found[place + 1].at
        (there,) = [s for s in drawn["control"] if s.name == refers.said("data-sheet")]
        assert refers.said("data-zone") in _ends(there, wire)


def test_a_block_says_what_its_pins_are_for(lapwing) -> None:
    uses = [t for t, _, _, c in texts(schematics_of(lapwing)["fuel"][0]) if c == "use"]
    assert {"injector 1", "fuel pump", "relay"} <= set(uses)


@pytest.mark.parametrize("vehicle", ["lapwing", "motorcycle"])
def test_both_harnesses_are_named_where_a_path_crosses_between_them(vehicle, request) -> None:
    """Read from the lettering: above and below the line of each contact or of its row."""
    result = request.getfixturevalue(vehicle)
    for system, sheets in schematics_of(result).items():
        wanted = {
            (end.node.split(".")[0], frozenset(result.harness.wires[w].harness for w in pair))
            for pair, end in _pairs(wires_of(result, system))
        }
        found = set()
        for sheet in sheets:
            rows = [(t, b) for t, b, _, c in texts(sheet) if c == "harness"]
            contacts = [(t, b) for t, b, _, c in texts(sheet) if c == "name"]
            for (above, upper), (below, lower) in pairwise(rows):
                between = [
                    t for t, b in contacts if upper.y < b.y < lower.y and abs(b.x - upper.x) < 0.01
                ]
                found |= {(t.split(".")[0], frozenset((above, below))) for t in between}
        assert {(c.split("/")[0], h) for c, h in wanted} <= found, system


def _pairs(wires):
    """(two wires' ids, the end) of every contact that wires of a system meet at."""
    ends: dict[str, list] = {}
    for wire in wires:
        for end in (wire.a, wire.b):
            if end.kind == "half":
                ends.setdefault(end.node.rsplit("/", 1)[0], []).append((wire.id, end))
    return [([w for w, _ in met], met[0][1]) for met in ends.values() if len(met) == 2]


def test_the_boundary_is_a_dash_dot_line_at_the_height_of_the_contacts_name(lapwing) -> None:
    for sheet in schematics_of(lapwing)["fuel"]:
        dashed = {
            float(re.findall(r"[\d.]+", line.get("points"))[1])
            for group in ElementTree.fromstring(sheet.svg).iter(f"{SVG}g")
            if group.get("class") == "boundary"
            for line in group.iter(f"{SVG}polyline")
            if line.get("stroke-dasharray")
        }
        contacts = [b for t, b, _, c in texts(sheet) if re.fullmatch(r"X\d+\.\d+", t)]
        assert contacts
        for box in contacts:
            assert any(box.y < y < box.bottom for y in dashed)
