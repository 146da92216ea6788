"""A device with more wires than a sheet is wide is drawn in several places, each on its sheet."""

from __future__ import annotations

import pytest
import yaml

from buildbook.drawing.schematic.system_sheets import schematics
from tests.drawing.ends import end_faults
from tests.drawing.generated import description, worked_out
from tests.drawing.legible import faults_of
from tests.drawing.made_up_shapes import Shape

MANY = 120


def _with(more_devices: dict, joins: list[list[str]]) -> dict:
    """A made-up vehicle of one load, with more devices, and each of the joins a circuit."""
    written = description(Shape("one load", loads=1, systems=1, relays=0, shared=0))
    written["devices"] |= more_devices
    written["circuits"] |= {
        f"wide {n}": {"join": pins, "system": "system-1"} for n, pins in enumerate(joins)
    }
    return written


def many_pins() -> dict:
    """A box without symbols inside, of 120 pins, each with a wire to a ground."""
    pins = {f"P{n}": f"use {n}" for n in range(MANY)}
    box = {
        "kind": "load",
        "name": "Box",
        "system": "system-1",
        "at": "shelf",
        "contact": "blade-6.3",
    }
    return _with({"box": box | {"pins": pins}}, [[f"box.{pin}", "G0"] for pin in pins])


def many_wires_on_a_pin() -> dict:
    """60 more wires on the battery's lower post, each to a ground."""
    return _with({}, [["battery.-", "G0"] for _ in range(60)])


@pytest.mark.parametrize("written", [many_pins, many_wires_on_a_pin])
def test_every_wire_is_drawn_on_a_sheet_between_its_pins(written, tmp_path) -> None:
    text = yaml.safe_dump(written(), sort_keys=False, allow_unicode=True)
    (tmp_path / "vehicle.yaml").write_text(text, encoding="utf-8")
    result = worked_out(tmp_path)
    sheets = schematics(result)
    faults = {d.name: f for drawn in sheets.values() for d in drawn if (f := faults_of(d.svg))}
    assert faults == {}
    assert end_faults(result, sheets) == []
