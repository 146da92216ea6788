"""Typing in what was read off the ropes: units, doubts, stopping, and the author's own file."""

from __future__ import annotations

import re
import shutil

import pytest
import yaml
from click.testing import CliRunner
from pypdf import PdfReader

from buildbook.book.editions import EDITIONS, chapters_of
from buildbook.book.page_numbers import PageMap, first_pages
from buildbook.book.templates import chapter_html
from buildbook.cli import main
from buildbook.description.read import Positions, read_folder
from buildbook.description.rope_readings import (
    RopeReading,
    read_length_m,
    read_marks_m,
    rope_readings,
    with_value,
)
from buildbook.description.yaml_reader import read_yaml
from tests.conftest import EXAMPLE, TESTS
from tests.once import undrawn

ROPE = """# lengths to come
rope:
  main:
    runs:
      - {from: panel, to: mid, length: 500 mm, zone: cabin, known: estimated}  # a guess
      - from: mid
        to: tail   # behind the seat
        length: '900 mm'
        zone: cabin
"""


@pytest.fixture
def folder(tmp_path):
    """The trailer with a rope file of another style, and the rest as it was."""
    shutil.copytree(TESTS / "vehicles" / "two-wire", tmp_path / "car")
    return tmp_path / "car"


def measured(folder, answers: list[str], *more: str):
    words = ["measure", str(folder), *more]
    return CliRunner().invoke(main, words, input="".join(f"{a}\n" for a in answers))


def test_lengths_are_read_in_mm_cm_and_inches():
    """One inch is 25.4 mm (exact)."""
    assert read_length_m("640") == pytest.approx(0.640)
    assert read_length_m("64 cm") == pytest.approx(0.640)
    assert read_length_m("25.5 in") == pytest.approx(25.5 * 0.0254)
    assert read_length_m("25 1/4 in") == pytest.approx(25.25 * 0.0254)
    assert read_length_m('9"') == pytest.approx(9 * 0.0254)
    for wrong in ("", "six", "4 kg", "1/0 in"):
        with pytest.raises(ValueError):
            read_length_m(wrong)


def test_every_rope_is_asked_in_the_order_of_the_sheet_and_kept_on_enter(folder):
    before = {p.name: p.read_text() for p in folder.glob("*.yaml")}
    contents, _ = read_folder(folder)
    count = len(rope_readings(contents.description))
    ended = measured(folder, [""] * (3 * count))
    assert ended.exit_code == 0, ended.output
    assert [f"\n{n}. " in "\n" + ended.output for n in range(1, count + 1)] == [True] * count
    assert {p.name: p.read_text() for p in folder.glob("*.yaml")} == before


def test_who_breaks_off_in_the_middle_of_a_row_keeps_what_was_typed(folder):
    """The input ends after the length, as it does where somebody presses Ctrl-D or Ctrl-C."""
    ended = measured(folder, ["1.9 m"])
    assert (ended.exit_code, ended.exception) == (0, None)
    assert "--from 1" in ended.output and "length: 1900 mm" in rope_of(folder)


def test_the_values_of_a_row_reach_the_file_together(folder, monkeypatch):
    """A run that is killed leaves the old row or the new one: none with a new length and the old
    number of clamps."""
    written = []
    monkeypatch.setattr("buildbook.commands.measure.write_or_say", lambda _, t: written.append(t))
    measured(folder, ["1.9 m", "7", "grommet 120", "q"])
    (text,) = written
    assert all(x in text for x in ("length: 1900 mm", "clamps: 7", "marked: {grommet: 120 mm}"))


def rope_of(folder) -> str:
    return "".join(path.read_text() for path in folder.glob("*.yaml"))


def test_an_answer_changes_its_own_word_alone_and_stopping_keeps_it(folder):
    path = next(p for p in folder.glob("*.yaml") if "rope:" in p.read_text())
    text = path.read_text()
    before = text.splitlines()
    ended = measured(folder, ["33 in", "2", "", "q"])
    assert "--from 2" in ended.output or "That was the last" in ended.output
    contents, problems = read_folder(folder)
    assert contents, problems
    first = rope_readings(contents.description)[0]
    assert (first.written_m, first.clamps) == (pytest.approx(0.8382), 2)
    after = path.read_text().splitlines()
    changed = [line for line in after if line not in before]
    assert 1 <= len(changed) <= 2 and len(after) - len(before) <= 1


@pytest.mark.parametrize(
    ("text", "marks_m"),
    [
        ("grommet 120; bracket 40 cm", {"grommet": 0.12, "bracket": 0.4}),
        ("hole of the bulkhead 37 1/2 in", {"hole of the bulkhead": 0.9525}),
        ("grommet 8.5 cm;", {"grommet": 0.085}),
    ],
)
def test_marks_are_read_with_their_places(text, marks_m):
    """One inch is 25.4 mm (exact)."""
    assert read_marks_m(text, 1.0) == pytest.approx(marks_m)


@pytest.mark.parametrize("text", ["grommet", "120", "grommet at", "grommet 1200"])
def test_a_mark_without_a_place_or_past_the_end_is_asked_again(text):
    with pytest.raises(ValueError):
        read_marks_m(text, 1.0)


def test_marks_are_asked_as_the_sheet_has_them_and_changed_when_asked_again(folder):
    assert measured(folder, ["", "", "grommet 120; no 40", "q"]).exit_code == 0
    first = rope_readings(read_folder(folder)[0].description)[0]
    assert first.marked == pytest.approx({"grommet": 0.12, "no": 0.04})
    measured(folder, ["", "", "far", "bracket 5 in", "q"])
    first = rope_readings(read_folder(folder)[0].description)[0]
    assert first.marked == pytest.approx({"bracket": 0.127})


def test_marks_on_lines_of_their_own_are_left(folder):
    path = next(p for p in folder.glob("*.yaml") if "rope:" in p.read_text())
    told = rope_readings(read_folder(folder)[0].description)[0]
    text = path.read_text()
    held = next(line for line in text.splitlines() if f"from: {told.from_point}" in line)
    own = yaml.safe_load(held.strip().lstrip("- "))
    lines = [
        f"      - {key}: {value}" if n == 0 else f"        {key}: {value}"
        for n, (key, value) in enumerate(own.items())
    ] + ["        marked:", "          grommet: 90 mm"]
    path.write_text(text.replace(held, "\n".join(lines)))
    before = path.read_text()
    ended = measured(folder, ["", "", "bracket 5 in", "q"])
    assert "lines of their own" in ended.output and path.read_text() == before


def test_a_guess_becomes_measured_and_comments_stay(tmp_path):
    (tmp_path / "vehicle.yaml").write_text(ROPE)
    text = ROPE
    for number, key, value in (
        (0, "length", "640 mm"),
        (0, "known", "measured"),
        (0, "clamps", "3"),
        (1, "length", "1210 mm"),
        (1, "clamps", "2"),
    ):
        (tmp_path / "vehicle.yaml").write_text(text)
        tree, _ = read_yaml(tmp_path / "vehicle.yaml", "vehicle.yaml")
        assert tree
        path = ("rope", "main", "runs", number)
        reading = RopeReading(1, "main", "a", "b", path, "length", 0.5, 0, "measured")
        text = with_value(text, Positions(tree), reading, key, value)
    assert text == ROPE.replace(
        "length: 500 mm, zone: cabin, known: estimated",
        "length: 640 mm, clamps: 3, zone: cabin, known: measured",
    ).replace("length: '900 mm'\n", "length: 1210 mm\n        clamps: 2\n")


def test_a_rope_shorter_than_the_straight_line_of_the_plan_is_asked_again(tmp_path):
    shutil.copytree(EXAMPLE, tmp_path / "car")
    before = (tmp_path / "car" / "rope.yaml").read_text()
    ended = measured(tmp_path / "car", ["5 mm", "n", "q"])
    assert "no rope is shorter" in ended.output
    assert (tmp_path / "car" / "rope.yaml").read_text() == before


def test_a_number_that_the_sheet_does_not_have_is_wrong_usage(folder):
    assert measured(folder, [], "--from", "999").exit_code == 2


def test_the_sheet_has_a_numbered_line_with_blanks_for_every_rope(two_wire):
    edition = EDITIONS["ropes"]
    chapters = chapters_of(edition, two_wire, undrawn(two_wire))
    vehicle = two_wire.vehicle.description.vehicle
    pages = PageMap(first_pages(chapters))
    text = chapter_html(chapters[1], 1, chapters, vehicle, pages, two_wire.vehicle.supply)
    readings = rope_readings(two_wire.vehicle.description)
    assert [int(n) for n in re.findall(r"<td><b>(\d+)</b>", text)] == [r.number for r in readings]
    assert text.count('class="blank"') == 3 * len(readings)


def test_make_prints_the_sheet_of_ropes(folder, tmp_path):
    made = CliRunner().invoke(
        main, ["make", str(folder), "--edition", "ropes", "--out", str(tmp_path)]
    )
    assert made.exit_code == 0, made.output
    text = PdfReader(tmp_path / "two-wire-trailer-ropes.pdf").pages[-1].extract_text()
    assert "Ropes to lay and measure" in text and "buildbook measure" in text
