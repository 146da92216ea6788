"""Every device with a wire is on some schematic sheet by its name, every resistor drawn or said."""

from __future__ import annotations

from itertools import pairwise

import pytest
import yaml

from buildbook.drawing.schematic.system_sheets import schematics
from tests.drawing.generated import description, worked_out
from tests.drawing.made_up_shapes import Shape
from tests.drawing.svg import scene

BOXES = ("controller", "display")
BUS = {"1": "data bus high", "2": "data bus low"}
MORE = {
    "ecu": {
        "kind": "controller",
        "pins": BUS | {"3": "feed", "4": "ground", "5": "brake switch"},
        "draws": [
            {"from": "3", "to": "4", "amps": "500 mA"},
            {"from": "data bus high", "to": "data bus low", "ohms": "120 ohm"},
            {"from": "5", "to": "4", "ohms": "10 kohm"},
        ],
    },
    "display": {
        "kind": "display",
        "pins": BUS | {"3": "feed", "4": "ground"},
        "draws": [
            {"from": "1", "to": "2", "ohms": "118 ohm"},
            {"from": "3", "to": "4", "amps": "200 mA"},
        ],
    },
    "ring": {
        "kind": "load",
        "pins": {"1": "one", "2": "two", "3": "three"},
        "draws": [
            {"from": "1", "to": "2", "ohms": "22 ohm"},
            {"from": "2", "to": "3", "ohms": "33 ohm"},
            {"from": "3", "to": "1", "ohms": "4700 ohm"},
        ],
    },
}
JOINS = [
    ["ecu.1", "display.1"],
    ["ecu.2", "display.2"],
    ["ecu.4", "G0"],
    ["display.4", "G0"],
    ["ecu.5", "ring.1"],
    ["ring.2", "display.3"],
    ["ring.3", "G0"],
]
"""A bus ended at both sides inside plugs, a pull-down, and three resistors in a ring."""


def words_of(sheets) -> set[str]:
    """Every line of lettering, and every two that follow each other: a name breaks at a hyphen."""
    found = set()
    for sheet in {d.name: d for drawn in sheets.values() for d in drawn}.values():
        lines = [text.text for text in scene(sheet.svg).texts]
        found |= {*lines, *(a + b for a, b in pairwise(lines) if a.endswith("-"))}
    return found


def missing(result, words: set[str]) -> list[str]:
    """Devices with a wire that no sheet names; of a panel the studs, of a plug the contacts."""
    wired = result.harness.wire_at
    return [
        device.id
        for device in result.vehicle.devices.values()
        if any(wired.get(pin.id) for pin in device.pins)
        and device.id not in words
        and not any(word.startswith(f"{device.id}.") for word in words)
    ]


@pytest.fixture(scope="module")
def bus_in_plugs(tmp_path_factory):
    """A made-up vehicle of one load with MORE."""
    shared = {"system": "system-1", "at": "shelf", "contact": "blade-6.3"}
    written = description(Shape("one load", loads=1, systems=1, relays=0, shared=0))
    written["devices"] |= {id_: shared | {"name": id_} | more for id_, more in MORE.items()}
    written["circuits"] |= {
        f"more {n}": {"join": pins, "system": "system-1"} for n, pins in enumerate(JOINS)
    }
    folder = tmp_path_factory.mktemp("bus")
    text = yaml.safe_dump(written, sort_keys=False, allow_unicode=True)
    (folder / "vehicle.yaml").write_text(text, encoding="utf-8")
    return worked_out(folder)


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing", "bus_in_plugs"])
def test_every_device_with_a_wire_is_on_some_sheet(vehicle, request) -> None:
    result = request.getfixturevalue(vehicle)
    assert missing(result, words_of(schematics(result))) == []


def test_a_device_on_no_sheet_is_found(bus_in_plugs) -> None:
    """The judge itself."""
    words = words_of(schematics(bus_in_plugs)) - {"display"}
    assert missing(bus_in_plugs, words) == ["display"]


def test_resistors_inside_boxes_are_said_beside_them(bus_in_plugs) -> None:
    """What ends a data bus inside a plug was on no sheet, nor what pulls an input down."""
    words = words_of(schematics(bus_in_plugs))
    assert {"1-2: 120 Ω inside", "5-4: 10 kΩ inside", "1-2: 118 Ω inside"} <= words


def test_what_would_close_a_ring_of_symbols_is_said_beside_them(bus_in_plugs) -> None:
    """Two of three resistors in a ring go between an upper and a lower edge; none was the third."""
    words = words_of(schematics(bus_in_plugs))
    said = [word for word in words if word.endswith("inside") and word[0] in "123"]
    rings = {"1-2: 22 Ω inside", "2-3: 33 Ω inside", "3-1: 4.7 kΩ inside"}
    assert len(rings & set(said)) == 1


@pytest.mark.parametrize("vehicle", ["motorcycle", "lapwing"])
def test_every_resistor_that_a_box_is_described_with_is_said(vehicle, request) -> None:
    """As the YAML states it, in whole ohms below a thousand."""
    result = request.getfixturevalue(vehicle)
    words = words_of(schematics(result))
    for device in result.vehicle.devices.values():
        stated = [d.ohms for d in device.written.draws if d.ohms] if device.kind in BOXES else []
        for ohms in stated:
            value = f"{ohms:g} Ω" if ohms < 1000 else f"{ohms / 1000:g} kΩ"
            assert any(word.endswith(f": {value} inside") for word in words), (device.id, ohms)
