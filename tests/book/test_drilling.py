"""The drilling page as it is printed: holes measured in pixels, and who gets the page."""

from __future__ import annotations

import numpy as np
import pypdfium2
import pytest

from buildbook.book.chapters import drilling
from buildbook.book.drawings import Drawings
from buildbook.book.jobs import Filler
from buildbook.book.join import alone
from buildbook.book.render import render
from tests.bench.drilled import SPARE, drilled

DPI = 300
PX = DPI / 25.4


@pytest.fixture(scope="module")
def page():
    return printed(drilled())


def printed(result):
    chapters = drilling.chapters(result, Drawings(result))
    vehicle = result.vehicle
    filler = Filler(chapters, vehicle.description.vehicle, vehicle.supply, frozenset())
    return pypdfium2.PdfDocument(alone(render(filler.job(0))))[0]


def places_of(page, words):
    """Where words stand, from the upper left corner: left, top, right in mm."""
    text = page.get_textpage()
    found, high = text.search(words), page.get_height()
    while (at := found.get_next()) is not None:
        left, _, right, top = _box(text, at)
        yield left * 25.4 / 72, (high - top) * 25.4 / 72, right * 25.4 / 72


def _box(text, at):
    boxes = [text.get_charbox(n) for n in range(at[0], at[0] + at[1])]
    lefts, lows, rights, tops = zip(*boxes, strict=True)
    return min(lefts), min(lows), max(rights), max(tops)


@pytest.mark.parametrize(("words", "across"), [("1 · X1", 38.0), ("2 · fuel hose", 22.0)])
def test_a_hole_has_its_diameter_on_paper(page, words, across):
    """A chord 8 mm beside the middle, where neither hairs nor words are."""
    ((left, top, right),) = places_of(page, words)
    ink = 1 - page.render(scale=DPI / 72, grayscale=True).to_numpy().squeeze() / 255
    column = ink[:, round(((left + right) / 2 + 8) * PX)]
    above = np.flatnonzero(column[round((top - across - 12) * PX) : round((top - 3) * PX)] > 0.5)
    chord = (above[-1] - above[0] + 1) / PX - 0.35 / np.sqrt(1 - (16 / across) ** 2)
    assert chord == pytest.approx(np.sqrt(across**2 - 16**2), abs=0.2)


def test_the_page_says_every_hole_and_where_it_is(page):
    words = " ".join(page.get_textpage().get_text_range().split())
    for said in (
        "Look behind the wall",
        "bolt of the column",
        "1 X1 key at the left 38 250 120",
        "2 fuel hose 22 450 −80",
        "3 heater hose 25.4 mark on the car",
    ):
        assert said in words, words


def test_the_figure_behind_a_run_without_a_hole_is_said_to_be_no_hole():
    """'starter-grommet – starter (18.6 mm)' reads as a hole to somebody with a drill."""
    bare = drilled(("rope:\n", SPARE.replace(", GROMMET", "")))
    words = " ".join(printed(bare).get_textpage().get_text_range().split())
    assert "(in brackets: how thick), which go past or through: tray – engine" in words


def test_a_harness_gets_the_walls_that_it_passes_and_a_book_without_holes_no_page():
    result = drilled()
    drawings = Drawings(result)
    assert [len(drilling.of_harness(result, drawings, name)) for name in ("cabin", "bay")] == [1, 1]
    assert drilling.of_harness(result, drawings, "other") == ()
