"""The groups of tests that one worker runs name tests that are there."""

from __future__ import annotations

from tests.conftest import TESTS
from tests.drawing.made_up_shapes import SHAPES
from tests.together import DRAWN, FIRST, MADE_UP, SWEPT, group_of


def test_files_and_shapes_of_the_groups_are_there():
    files = {*DRAWN, *SWEPT, MADE_UP, *(name for name in FIRST if name.endswith(".py"))}
    assert [file for file in files if not (TESTS.parent / file).is_file()] == []
    shapes = {f"made up [{shape.name}]" for shape in SHAPES}
    assert {name for name in FIRST if name.startswith("made up")} <= shapes


def test_the_book_of_a_vehicle_and_both_tests_of_a_shape_are_in_one_group():
    book = "tests/book/test_everything_is_in_the_book.py::test_printed"
    assert group_of(f"{book}[lapwing]") == group_of("tests/book/test_continuations.py::test_a")
    assert group_of(f"{book}[lapwing]") != group_of(f"{book}[starter]")
    assert group_of(f"{MADE_UP}::test_a[mixed]") == group_of(f"{MADE_UP}::test_b[mixed]")
    assert group_of(f"{MADE_UP}::test_a[mixed]") != group_of(f"{MADE_UP}::test_a[umlauts]")
