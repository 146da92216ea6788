"""One job, one opening: how often a leaf is turned while a harness is built, by the page map."""

from __future__ import annotations

import pytest

from buildbook.book.chapters.harnesses import one, sheet_of
from buildbook.book.drawings import Drawings
from buildbook.book.page_numbers import PageMap, first_pages
from buildbook.book.render import Job, Rendered, render
from buildbook.book.templates import chapter_html
from tests.conftest import EXAMPLE
from tests.drawing.generated import worked_out_for_sheets, write
from tests.drawing.made_up_shapes import Shape

MOST_TURNS = {"cut": 2, "lay": 2, "splice": 1, "pin": 1, "test": 2}
ALONE_PT = 80.0
"""How far down a page its first heading is seen at most."""
STEPS = ("lay", "splices", "runs", "test", "finish")


def chapter_pages(result, name: str) -> Rendered:
    """The chapter of one harness, set with its drawings."""
    drawings = Drawings(result)
    chapter = one(result, drawings, name)
    vehicle = result.vehicle.description.vehicle
    pages = PageMap(first_pages((chapter,)))
    text = chapter_html(chapter, 1, (chapter,), vehicle, pages, result.vehicle.supply)
    return render(Job(chapter.name, text, {d.name: d.svg for d in drawings.asked()}))


def opening(page: int) -> int:
    """Facing pages: the first page of a chapter is a right-hand one and faces another's last."""
    return (page + 1) // 2


def turns(pages: list[int]) -> int:
    """Leaves turned while these pages are needed one after the other."""
    openings = [opening(page) for page in pages]
    return sum(abs(b - a) for a, b in zip(openings, openings[1:], strict=False))


def turned(found: Rendered, result, name: str) -> dict[str, int]:
    """Most turns of each task: cut and label all, lay, make any splice, pin any plug, test."""
    page = {anchor: place[0] for anchor, place in found.anchors.items()}
    sheet = sheet_of(result, name)
    cut = [p for anchor, p in page.items() if anchor.startswith("cut-")]
    assert len(cut) >= len(sheet.cuts)
    pinned = [
        turns([page[a], page[a.replace("pin-", "pinned-", 1)]])
        for a in page
        if a.startswith("pin-")
    ]
    assert len(pinned) == len(sheet.terminations)
    splices = [page[a] for a in page if a.startswith("splice-")]
    made = [page[a] for a in page if a.startswith("spliced-")]
    assert len(splices) == len(made) == len(sheet.splices)
    splicing = [turns(list(pair)) for pair in zip(splices, made, strict=True)]
    step = {what: page.get(f"step-{name}-{what}") for what in STEPS}
    return {
        "cut": turns([min(cut), max(cut)]),
        "lay": turns([step["lay"], step["splices"] or step["runs"]]),
        "splice": max(splicing, default=0),
        "pin": max(pinned),
        "test": turns([step["test"], step["finish"]]),
    }


def check(result, name: str) -> None:
    pages = chapter_pages(result, name)
    found = turned(pages, result, name)
    assert all(found[task] <= most for task, most in MOST_TURNS.items()), found
    _, _, down_pt = pages.anchors[f"step-{name}-finish"]
    assert down_pt > ALONE_PT, "the last step stands alone on a page"


@pytest.fixture(scope="module")
def example():
    return worked_out_for_sheets(EXAMPLE)


@pytest.mark.parametrize("name", ["engine", "cabin"])
def test_a_harness_of_the_example_is_built_without_leafing(example, name):
    check(example, name)


def test_the_motorcycles_harness_is_built_without_leafing(motorcycle):
    check(motorcycle, "main")


def test_a_harness_of_120_wires_is_built_without_leafing(tmp_path):
    shape = Shape("120 wires", loads=38, systems=3, relays=0.2)
    result = worked_out_for_sheets(write(shape, tmp_path / "vehicle"))
    assert len(result.harness.wires) >= 120
    check(result, "h0")
