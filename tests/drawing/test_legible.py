"""Every drawing of every test vehicle can be read: its geometry, from the SVG, has no fault."""

from __future__ import annotations

import re
from html import unescape

import pytest

from buildbook.book.drawings import Drawings
from buildbook.drawing.harness.full_size import full_size
from buildbook.drawing.harness.tiles import tile_marks, tiled
from buildbook.figures import METRIC
from buildbook.result import Result
from buildbook.words.say import in_language
from tests.conftest import TESTS, result_of
from tests.drawing.legible import faults_of
from tests.once import drawings_of
from tests.words.said import in_language_of

UPRIGHT = ("faces", "sections", "charging", "fuses", "cost")
TURNED = ("layouts", "panels", "power")
VEHICLES = ("two_wire", "motorcycle", "lapwing", "starter")


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_no_drawing_of_the_book_has_a_fault(vehicle, request):
    drawings = drawings_of(request.getfixturevalue(vehicle)).every()
    assert drawings
    assert {d.name: faults for d in drawings if (faults := faults_of(d.svg))} == {}


@pytest.mark.parametrize("name", ["two-wire", "motorcycle", "two-batteries"])
def test_longer_words_of_another_language_are_as_legible(name, tmp_path):
    result = result_of(in_language_of(TESTS / "vehicles" / name, tmp_path / name))
    check_german_drawings(result)


def check_german_drawings(result: Result) -> None:
    """Every drawing can be read, leaves nothing out and cuts nothing but an author's names."""
    with in_language("de"):
        drawings = Drawings(result).every()
    assert "Stromlaufplan" in " ".join(drawing.title for drawing in drawings)
    assert {d.name: faults for d in drawings if (faults := faults_of(d.svg))} == {}
    assert [d.left_out for d in drawings if d.left_out] == []
    written = repr(result.vehicle.description)
    cut = [text for d in drawings for text in re.findall(r">([^<]*)…<", d.svg)]
    assert [text for text in cut if unescape(re.split(", |:", text)[-1]) not in written] == []


@pytest.mark.parametrize("harness", ["rear", "bumper"])
def test_full_size_sheets_are_as_legible(lapwing, harness):
    full = full_size(lapwing, harness)
    tiling = tiled(full, "A4")
    marks = [tile_marks(tiling, tile, harness, METRIC) for tile in tiling.tiles]
    sheets = [full.drawing, *marks]
    assert [f for d in sheets for f in faults_of(d.svg)] == []


def test_drawings_fit_their_page(lapwing):
    drawings = drawings_of(lapwing)
    upright = [d for kind in UPRIGHT for d in drawings.all_of(kind)]
    turned = [d for kind in TURNED for d in drawings.all_of(kind)]
    assert upright and turned
    assert all(d.width_mm <= 170 and d.height_mm <= 250 for d in upright)
    assert all(d.width_mm <= 267 and d.height_mm <= 180 for d in turned)
