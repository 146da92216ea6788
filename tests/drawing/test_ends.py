"""A wire of a schematic that does not end at its own two pins is told, by coordinates."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from buildbook.drawing.shared.model import Drawing
from tests.drawing.ends import end_faults
from tests.once import schematics_of

Sheets = dict[str, tuple[Drawing, ...]]


def test_every_wire_of_the_starter_is_drawn_once_between_its_own_pins(starter):
    assert end_faults(starter, schematics_of(starter)) == []


def _put(sheets: Sheets, name: str, change) -> Sheets:
    """The sheets with one of them changed, which must make a difference."""
    found = {
        system: tuple(replace(d, svg=change(d.svg)) if d.name == name else d for d in drawn)
        for system, drawn in sheets.items()
    }
    assert found != sheets
    return found


def _group(wire: str) -> str:
    """The group of a wire's lines on the sheet where it is labelled."""
    return rf'<g class="wire" data-wire="{wire}" id="[^"]*">.*?</g>'


def _moved(svg: str) -> str:
    """Wire 304's upper end 8 mm to the right."""

    def shift(found: re.Match[str]) -> str:
        return re.sub(r'points="([\d.]+)', lambda p: f'points="{float(p[1]) + 8}', found[0])

    return re.sub(_group("304"), shift, svg)


def _swapped(svg: str) -> str:
    """Wires 303 and 304 each at the other's pins."""
    return (
        svg.replace('data-wire="303"', "@")
        .replace('data-wire="304"', 'data-wire="303"')
        .replace("@", 'data-wire="304"')
    )


def _left_out(svg: str) -> str:
    return re.sub(_group("304"), "", svg)


def _twice(svg: str) -> str:
    return re.sub(_group("304"), lambda found: found[0] + found[0], svg)


def _pin_renamed(svg: str) -> str:
    """Pin 3 of the controller, where wire 303 ends, is called 5."""
    return re.sub(r'(<text class="pin"[^>]*>)3</text>', r"\g<1>5</text>", svg)


def _renamed(svg: str) -> str:
    return svg.replace(">coil-1<", ">coil-2<")


@pytest.mark.parametrize(
    "change, said",
    [
        (_moved, "304 on schematic-supply-1"),
        (_swapped, "303: meets"),
        (_left_out, "304: drawn 0 times"),
        (_twice, "304: drawn 2 times"),
        (_pin_renamed, "joined but not written"),
        (_renamed, "coil-1 is labelled 'coil-2'"),
    ],
)
def test_a_wrong_end_is_told(change, said, motorcycle):
    wrong = _put(schematics_of(motorcycle), "schematic-supply-1", change)
    assert any(said in fault for fault in end_faults(motorcycle, wrong))


def test_a_flag_that_leads_to_a_wrong_place_is_told(motorcycle):
    def change(svg: str) -> str:
        return re.sub(r">sheet 2 ([A-D])\d<", r">sheet 2 \g<1>9<", svg)

    wrong = _put(schematics_of(motorcycle), "schematic-supply-3", change)
    assert any("says 'sheet 2" in fault for fault in end_faults(motorcycle, wrong))


def test_a_flag_of_another_wire_is_told(motorcycle):
    def change(svg: str) -> str:
        wire = re.search(r'class="element flag" data-of="([^"]*)"', svg)
        assert wire
        return svg.replace(wire[0], wire[0].replace(wire[1], "501"))

    wrong = _put(schematics_of(motorcycle), "schematic-supply-2", change)
    assert any("flag 501 is labelled" in fault for fault in end_faults(motorcycle, wrong))
