"""Beside a pin that a sheet does not wire: the bus or the wire that feeds it; harness bounds."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from buildbook.drawing.elsewhere import elsewhere
from buildbook.drawing.schematic import schematics, wires_of
from tests.drawing.test_schematic import SVG, texts


def test_a_fuse_on_a_bus_bar_names_the_panels_stud_and_what_it_is(lapwing) -> None:
    """The description puts F4 on the panel's bus B, the battery bus."""
    found = elsewhere(lapwing, lapwing.vehicle.devices["F4"], {"F4.out"})
    assert found == {"F4.in": "panel.B battery bus"}
    words = [t for t, _, _, c in texts(schematics(lapwing)["fuel"][0]) if c == "pin"]
    assert "panel.B battery bus" in words


def test_a_pin_wired_in_another_system_names_that_wire_and_system(lapwing) -> None:
    """The description joins K3.86 in a circuit of system control."""
    circuits = lapwing.vehicle.circuits
    pin = next(w for w in lapwing.harness.wires.values() if "K3.86" in (w.a.node, w.b.node))
    assert circuits[pin.circuit].system == "control"
    words = [t for t, _, _, c in texts(schematics(lapwing)["fuel"][0]) if c == "pin"]
    assert f"86 ({pin.id}, control)" in words


def test_every_wired_pin_of_a_device_is_left_to_its_own_wire(motorcycle) -> None:
    for device in motorcycle.vehicle.devices.values():
        assert elsewhere(motorcycle, device, {p.id for p in device.pins}) == {}


@pytest.mark.parametrize("vehicle", ["lapwing", "motorcycle"])
def test_both_harnesses_are_named_where_a_path_crosses_between_them(vehicle, request) -> None:
    """Read from the lettering: above and below the line of each contact or of its row."""
    result = request.getfixturevalue(vehicle)
    for system, sheets in schematics(result).items():
        wanted = {
            (end.node.split(".")[0], frozenset(result.harness.wires[w].harness for w in pair))
            for pair, end in _pairs(wires_of(result, system))
        }
        found = set()
        for sheet in sheets:
            rows = [(t, b) for t, b, _, c in texts(sheet) if c == "harness"]
            contacts = [(t, b) for t, b, _, c in texts(sheet) if c == "name"]
            for (above, upper), (below, lower) in pairwise(rows):
                between = [t for t, b in contacts if upper.y < b.y < lower.y
                           and abs(b.x - upper.x) < 0.01]  # fmt: skip
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
    for sheet in schematics(lapwing)["fuel"]:
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
