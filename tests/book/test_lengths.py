"""Cut lengths read the same in the tables of circuits as in the cut lists."""

from __future__ import annotations

import re

import pytest

from buildbook.book.chapters.harnesses import sheet_of
from buildbook.book.chapters.systems import one
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from tests.once import undrawn


@pytest.mark.parametrize("system", ["control", "lighting"])
def test_a_wire_is_as_long_in_its_circuit_as_in_the_cut_list(lapwing, system):
    """Half millimetres are cut to the next whole one everywhere."""
    chapter = one(lapwing, undrawn(lapwing), system)
    vehicle = lapwing.vehicle.description.vehicle
    text = chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), lapwing.vehicle.supply)
    shown = {
        wire: int(mm)
        for wire, mm in re.findall(
            r'<tr id="wire-([^"]+)">.*?<td class="n">(\d+)</td>', text, flags=re.DOTALL
        )
    }
    cut = {
        row.name: row.cut_mm
        for harness in lapwing.vehicle.description.rope
        for row in sheet_of(lapwing, harness).cuts
        if row.colour
    }
    assert len(shown) > 20
    assert shown == {wire: cut[wire] for wire in shown}
