"""No word outside a page's margins, on any page of the suite's books: read from the PDFs."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest

from buildbook.book.drawings import Drawings
from buildbook.book.editions import ROPES, WHOLE
from buildbook.book.join import alone
from buildbook.book.make import make_book
from buildbook.book.render import Job, render
from buildbook.pipeline import quiet, work_out
from tests.book.beyond_cells import beyond_cells, beyond_in
from tests.book.typeface import TYPEFACE
from tests.book_of import book_of
from tests.drawing.generated import write
from tests.drawing.made_up_shapes import SHAPES, Shape

MM = 25.4 / 72
UPRIGHT_MM = 18.0, 14.0
"""Left and right margin of upright pages; tables and drawings keep to them."""
TURNED_MM = {"A4": 12.0, "Letter": 5.0}
"""Least margin of turned pages."""
EDGE_MM = 4.0
"""Above and below: heading and foot stand in the margins."""
EASE_MM = 0.6
"""A letter may hang out so far."""
SHEET = f"{TYPEFACE}<style>@page {{ size: A4; margin: 20mm }}</style>"
SMALL = [shape for shape in SHAPES if shape.name in ("one relay", "long names")]
"""The others: `tests/benchmarks/test_margins_of_thirty.py`."""


def outside(pdf: Path, paper: str) -> list[str]:
    """Every stretch of lettering that is not within its page's margins."""
    wrong = []
    for number, page in enumerate(pypdfium2.PdfDocument(pdf), 1):
        width, height = (MM * side for side in page.get_size())
        left, right = UPRIGHT_MM if width < height else (TURNED_MM[paper], TURNED_MM[paper])
        text = page.get_textpage()
        for n in range(text.count_rects()):
            place = text.get_rect(n)
            x0, y0, x1, y1 = (MM * edge for edge in place)
            beside = x0 < left - EASE_MM or x1 > width - right + EASE_MM
            if beside or y0 < EDGE_MM or y1 > height - EDGE_MM:
                word = text.get_text_bounded(*place)
                wrong.append(f"page {number}: {word} at {x0:.1f} to {x1:.1f} mm of {width:.0f}")
    return wrong


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "starter", "lapwing"])
def test_no_word_of_a_book_is_outside_its_page(vehicle, request):
    result = request.getfixturevalue(vehicle)
    assert outside(book_of(result), result.vehicle.description.vehicle.paper) == []


def of_made_up(shape: Shape, folder: Path) -> list[str]:
    """What is outside its page in the book and in the sheets of ropes of a made-up vehicle."""
    result, problems = work_out(write(shape, folder / "vehicle"))
    assert result, problems
    drawings, paper = Drawings(result), result.vehicle.description.vehicle.paper
    return [
        f"{edition.title}, {words}"
        for edition in (WHOLE, ROPES)
        for pdf in [make_book(result, drawings, folder / "made.pdf", quiet, edition=edition)]
        for words in outside(pdf, paper)
    ]


@pytest.mark.parametrize("shape", SMALL, ids=lambda shape: shape.name)
def test_no_word_of_a_made_up_vehicles_book_is_outside_its_page(shape, tmp_path):
    assert of_made_up(shape, tmp_path) == []


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle"])
def test_no_word_of_a_table_runs_into_the_next_column(vehicle, request, tmp_path):
    assert beyond_cells(request.getfixturevalue(vehicle), tmp_path / "book.pdf") == []


def test_no_word_of_long_names_runs_into_the_next_column(tmp_path):
    result, problems = work_out(write(SMALL[1], tmp_path / "vehicle"))
    assert result and SMALL[1].name == "long names", problems
    assert beyond_cells(result, tmp_path / "book.pdf") == []


def test_a_word_that_is_wider_than_its_cell_is_found():
    """The judge itself."""
    cell = "<table style='table-layout: fixed; width: 20mm'><td style='white-space: nowrap'>"
    html = f"{SHEET}<title>narrow</title>{cell}one two three<td>{'x '}</table>{cell}one"
    assert beyond_in(lambda: render(Job("narrow", html, {}))) == [("narrow", 1, "one two three")]


def test_a_word_that_runs_off_the_paper_is_found(tmp_path):
    """The judge itself: a line longer than its page."""
    html = SHEET + "<p style='white-space: nowrap'>"
    target = tmp_path / "wide.pdf"
    target.write_bytes(alone(render(Job("wide", html + "word " * 80 + "</p>", {}))))
    assert outside(target, "A4")


def test_a_word_wholly_off_the_paper_is_found(tmp_path):
    html = SHEET + "<p style='margin-left: 200mm'>gone</p>"
    target = tmp_path / "off.pdf"
    target.write_bytes(alone(render(Job("off", html, {}))))
    assert len(outside(target, "A4")) == 1
