"""A book in another language says all in it: nothing past the catalogues, nothing unknown."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildbook.words.say import unknown_words
from tests.words.pseudo import said_past_catalogues
from tests.words.said import chapters_said, in_language_of

VEHICLES = Path(__file__).parents[1] / "vehicles"
NAMES = ("two-wire", "motorcycle")
ALIKE = {
    "buildbook": "the program's name",
    "edition workings": "what is typed",
    "yaml": "the end of a file's name",
    "parts": "what a finding is about, as a waiver names it",
    "charge lamp": "the same",
    "Front A indicator": "the author's, with a tree's letter for what differs",
    "Rear A indicator": "the same",
    "the B front side lamp lights": "the same",
    "NTC": "a thermistor, in every language",
    "Steinhart": "who found its law",
    "Hart": "the same",
    "IU": "of a formula",
    "Te": "of a formula",
    "kb": "of a formula",
    "kh": "of a formula",
}
"""What stands in every language as it is, and why."""


@pytest.mark.parametrize("name", NAMES)
def test_a_book_says_nothing_past_the_catalogues(name):
    found = said_past_catalogues(VEHICLES / name)
    assert [row for row in found if row[2] not in ALIKE] == []


@pytest.mark.parametrize("name", NAMES)
def test_a_german_book_says_nothing_that_is_unknown(name, tmp_path):
    folder = in_language_of(VEHICLES / name, tmp_path / name)
    with unknown_words() as unknown:
        said = [text for _edition, _chapter, text in chapters_said(folder)]
    assert unknown == set()
    assert any("Stromlaufplan" in text for text in said)
