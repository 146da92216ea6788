"""Faults in a book that is German: other words, the same ids, and English at the command line."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from buildbook.book.fault_wording import probe_place, short_place
from buildbook.book.symptom_headings import headings
from buildbook.cli import main
from buildbook.faultfinding.find import find_faults
from buildbook.words.say import in_language
from tests.conftest import TESTS
from tests.words.said import in_language_of

TWO_WIRE = TESTS / "vehicles" / "two-wire"


@pytest.fixture(scope="module")
def german(two_wire):
    with in_language("de"):
        return find_faults(two_wire.vehicle, two_wire.harness, two_wire.sizing, two_wire.solved)


def test_symptoms_have_the_ids_that_they_have_in_english(german, two_wire):
    words = {s.id: s.title for s in german.symptoms}
    assert words.keys() == {s.id for s in two_wire.faultfinding.symptoms}
    assert words["nothing-works"] == "Nichts funktioniert"
    assert {f: x.id for f, x in german.faults.items()} == {
        f: f for f in two_wire.faultfinding.faults
    }


def test_places_are_shortened_as_in_english(two_wire):
    with in_language("de"):
        assert probe_place(two_wire, "F1.out~") == "F1 out, oben auf der Sicherung"
        assert short_place(probe_place(two_wire, "F1.out~")) == "F1 out oben"


def test_the_command_speaks_english_and_knows_the_headings_of_the_book(german, two_wire, tmp_path):
    folder = in_language_of(TWO_WIRE, tmp_path / "german")
    symptom = next(s for s in german.symptoms if s.effects and s.id != "nothing-works")
    with in_language("de"):
        heading = headings(two_wire, german.symptoms)[symptom.id]
    ran = CliRunner().invoke(main, ["diagnose", str(folder), "--no-cache", "--says", heading])
    assert ran.exit_code == 0, ran.output
    titles = [two_wire.faultfinding.faults[f].title for f in symptom.suspects]
    assert all(title in ran.output for title in titles[:3]), ran.output
