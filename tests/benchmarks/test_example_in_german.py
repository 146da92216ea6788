"""The example's book in German: every edition says it, and keeps to its pages; run by name only.

python -m pytest -n 0 -s tests/benchmarks/test_example_in_german.py
"""

from __future__ import annotations

from pathlib import Path

import pytest

from buildbook.audit.audit import audit
from buildbook.book.editions import EDITIONS
from buildbook.result import Result
from tests.book.test_inches import FOR_THE_BENCH, made
from tests.book.test_margins import outside
from tests.conftest import EXAMPLE, result_of
from tests.drawing.test_legible import check_german_drawings
from tests.words.pseudo import said_past_catalogues
from tests.words.said import in_language_of
from tests.words.test_whole_books import ALIKE


@pytest.fixture(scope="module")
def lapwing_in_german(tmp_path_factory) -> Result:
    return result_of(in_language_of(EXAMPLE, tmp_path_factory.mktemp("german")))


def test_no_edition_says_anything_past_the_catalogues():
    found = said_past_catalogues(EXAMPLE)
    assert [row for row in found if row[2] not in ALIKE] == []


def test_every_drawing_can_be_read(lapwing_in_german):
    check_german_drawings(lapwing_in_german)


@pytest.mark.parametrize("name", FOR_THE_BENCH)
def test_pages_hold_their_words_and_the_models_numbers(lapwing_in_german, tmp_path, name):
    pdf: Path = made(lapwing_in_german, EDITIONS[name], tmp_path)
    if name != "trackside":
        assert outside(pdf, "A4") == []
    if name in ("whole", "order"):
        assert audit(pdf, lapwing_in_german, name) == []
