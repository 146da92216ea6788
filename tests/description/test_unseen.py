"""What is not text is refused where it stands, and what editors leave behind is passed over."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from buildbook.description.read import read_folder
from tests.conftest import STARTER, in_full

ESCAPED = {
    # written in the file: what is said of it
    "\\u202e": "U+202E (right-to-left override)",
    "\\u2066": "U+2066 (left-to-right isolate)",
    "\\u200b": "U+200B (zero width space)",
    "\\u200f": "U+200F (right-to-left mark)",
    "\\xad": "U+00AD (soft hyphen)",
    "\\0": "U+0000 (nul)",
    "\\e": "U+001B (escape)",
    "\\u2028": "U+2028 (line separator)",
    "\\uE000": "U+E000",
    "\\U000E0041": "U+E0041 (tag latin capital letter a)",
}


def problems_of(folder):
    contents, problems = read_folder(folder)
    assert (contents is None) == bool(problems)
    return problems


@pytest.fixture
def car(tmp_path):
    """The starter in full: every word stands where it is read."""
    return Path(shutil.copytree(in_full(STARTER), tmp_path / "car"))


def rewritten(car, before, after, file="vehicle.yaml"):
    text = (car / file).read_text(encoding="utf-8")
    assert before in text
    (car / file).write_text(text.replace(before, after, 1), encoding="utf-8")
    return text[: text.index(before)].count("\n") + 1


@pytest.mark.parametrize("character", ESCAPED)
def test_an_escape_for_what_nobody_sees_is_refused(car, character):
    line = rewritten(car, "about: Dry and shaded", f'about: "Dry{character} and shaded"')
    (found,) = problems_of(car)
    assert found.where.line == line and ESCAPED[character] in found.what
    assert found.why and found.hint


@pytest.mark.parametrize("letter", ["\u202e", "\u200b", "\u2060", "\ufeff"])
def test_it_is_refused_in_a_comment_too_where_it_could_hide_what_is_read(car, letter):
    line = rewritten(car, "# of what the fuel", f"# of what{letter} the fuel")
    (found,) = problems_of(car)
    assert found.where.line == line and f"U+{ord(letter):04X}" in found.what


def test_a_value_is_never_printed_the_other_way_round(car):
    rewritten(car, "amps: 6 A", 'amps: "6\\u202e51 A"')
    (found,) = problems_of(car)
    assert "right-to-left override" in found.what


def test_notes_and_tables_are_read_with_the_same_eye(car):
    (car / "notes.md").write_text("# Pump\n\nIt hums\0.\n", encoding="utf-8")
    (found,) = problems_of(car)
    assert str(found.where) == "notes.md:3:8"
    (car / "notes.md").write_text("It hums.\n", encoding="utf-8")
    (car / "parts-more.csv").write_text("part,what\nA,a\u200bb\n", encoding="utf-8")
    (found,) = problems_of(car)
    assert str(found.where) == "parts-more.csv:2:4"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("  night: {about", '  "ni\\nght": {about'),
        ("  pump ground: {", '  "pump\\treturn": {'),
        ("name: Starter", 'name: "Star\\nter"'),
        ("title: Lighting", 'title: "Light\\ning"'),
        ("on: panel", 'on: "pan\\nel"'),
    ],
)
def test_a_name_has_one_line(car, before, after):
    line = rewritten(car, before, after)
    found = problems_of(car)[0]
    assert found.where.line == line
    assert "(line end)" in found.what or "(tab)" in found.what


def test_the_same_name_typed_in_two_ways_is_one_name(car):
    rewritten(car, "  G3: {", '  "Caf\\u00e9": {kind: ground, at: dash}\n  "Cafe\\u0301": {')
    found = problems_of(car)
    assert "is written twice" in found[0].what


@pytest.mark.parametrize("name", [".#vehicle.yaml", "._vehicle.yaml", ".vehicle.yml"])
def test_what_an_editor_leaves_is_passed_over(car, name):
    (car / name).write_bytes(b"\0\5\x16\7")
    (car / f"{name}2.yaml").symlink_to("nobody@host.123")
    assert problems_of(car) == []


@pytest.mark.parametrize(
    "written",
    ["Dry a\u0301\u0301", "Dry \u00e1\u0301", '"Dry \u00e1\\u0301"', '"Dry e\\u0302\\u0302"'],
)
def test_an_accent_over_its_like_prints_as_one_and_is_refused(car, written):
    line = rewritten(car, "about: Dry and shaded", f"about: {written}")
    (found,) = problems_of(car)
    assert found.where.line == line and "U+030" in found.what and found.hint


@pytest.mark.parametrize(
    "letter", ["e\u0302\u0301", "\u00ea\u0301", "u\u0308\u0304", "o\u031b\u0301"]
)
def test_letters_with_several_accents_of_their_own_are_text(car, letter):
    """Vietnamese, and pinyin (The Unicode Standard, chapter 7.9, combining marks)."""
    rewritten(car, "about: Dry and shaded", f"about: Dry {letter}")
    assert not problems_of(car)
