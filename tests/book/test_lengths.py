"""Cut lengths read the same in the tables of circuits as in the cut lists."""

from __future__ import annotations

import re

import pytest

from buildbook.book.chapters import harnesses, lengths
from buildbook.book.chapters.harnesses import sheet_of
from buildbook.book.chapters.systems import chapters
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from buildbook.pipeline import work_out
from tests.description.test_moves import trailer
from tests.once import undrawn


@pytest.mark.parametrize("system", ["control", "lighting"])
def test_a_wire_is_as_long_in_its_circuit_as_in_the_cut_list(lapwing, system):
    """Half millimetres are cut to the next whole one everywhere."""
    made = chapters(lapwing, undrawn(lapwing))
    chapter = next(c for c in made if system in {part.name for part in c.context["parts"]})
    vehicle = lapwing.vehicle.description.vehicle
    text = chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), lapwing.vehicle.supply)
    shown = {
        wire: int(mm)
        for wire, mm in re.findall(
            r'<tr[^>]* id="wire-([^"]+)">.*?<td class="n">(\d+)(?: ≈)?</td>',
            text,
            flags=re.DOTALL,
        )
    }
    cut = {
        row.name: row.cut_mm
        for harness in lapwing.vehicle.description.rope
        for row in sheet_of(lapwing, harness).cuts
        if row.colour
    }
    cores = {wire.id: wire.cable for wire in lapwing.harness.wires.values() if wire.cable}
    shown = {wire: mm for wire, mm in shown.items() if wire not in cores}  # cut as their cable
    assert len(shown) > 20
    assert shown == {wire: cut[wire] for wire in shown}


def test_what_was_marked_on_a_rope_stands_where_it_is_covered(starter):
    (name,) = starter.vehicle.description.rope
    chapter = harnesses.one(starter, undrawn(starter), name)
    vehicle = starter.vehicle.description.vehicle
    text = chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), starter.vehicle.supply)
    (row,) = re.findall(r"<tr>(?:(?!</tr>).)*breakout – tank.*?</tr>", text, flags=re.DOTALL)[:1]
    assert "seat rail 600" in row
    ground = re.search(r'<tr id="cut-[^>]*>(?:(?!</tr>).)*battery.-.*?</tr>', text, flags=re.DOTALL)
    assert ground and "≈" not in ground[0]
    (workings,) = lengths.chapters(starter, undrawn(starter))
    made_up = chapter_html(workings, 1, (workings,), vehicle, PageMap(), starter.vehicle.supply)
    assert "way 300" in made_up


def test_a_wire_on_rope_that_nobody_measured_is_cut_to_an_estimate(tmp_path):
    result, problems = work_out(trailer(tmp_path, "{lamp: nose}"), variant="v")
    assert result is not None, problems
    chapter = harnesses.one(result, undrawn(result), "front")
    vehicle = result.vehicle.description.vehicle
    text = chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), result.vehicle.supply)
    rows = dict(
        re.findall(r'<tr id="cut-([^"]+)"[^>]*>((?:(?!</tr>).)*)</tr>', text, flags=re.DOTALL)
    )
    wires = result.harness.wires.values()
    long = {w.id for w in wires if "nose" in w.points}
    rope = {w.id for w in wires if w.runs and w.harness == "front"} - long
    assert len(long) == 2 and rope
    assert all("≈" in rows[wire] for wire in long)
    assert not [wire for wire in rope if "≈" in rows[wire]]
    (cover,) = re.findall(r"<tr>(?:(?!</tr>).)*B – nose.*?</tr>", text, flags=re.DOTALL)[:1]
    assert "750 ≈" in cover
