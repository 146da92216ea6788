"""`buildbook issue` and `make --changed-since` as a user meets them."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from buildbook.book.kept_books import made_key
from tests.commands.test_commands import run
from tests.commands.test_record_command import change
from tests.conftest import TESTS

TWO_WIRE = TESTS / "vehicles" / "two-wire"
DATE = "  date: 2026-03-01\n"


@pytest.fixture
def car(tmp_path: Path) -> Path:
    return shutil.copytree(TWO_WIRE, tmp_path / "car")


def words(result) -> str:
    return " ".join((result.output + result.stderr).split())


def test_a_revision_is_issued_once_and_later_books_are_held_against_it(car, tmp_path):
    out = ["--out", str(tmp_path / "out")]
    done = run("issue", str(car), "--revision", "A")
    assert done.exit_code == 0, words(done)
    kept = car / "revisions" / "A.yaml"
    assert kept.is_file() and "of revision A" in done.output
    first = kept.read_bytes()
    assert [p.name for p in kept.parent.iterdir()] == ["A.yaml"]
    assert run("check", str(car)).exit_code == 0

    again = run("issue", str(car), "--revision", "A")
    assert again.exit_code == 2 and "was issued already" in words(again)
    assert kept.read_bytes() == first
    replaced = run("issue", str(car), "--revision", "A", "--replace")
    assert replaced.exit_code == 0 and kept.read_bytes() == first

    change(car, DATE, "  revision: B\n  date: 2026-05-01\n")
    unknown = run("make", str(car), *out, "--changed-since", "Q")
    assert unknown.exit_code == 2 and "there are A" in words(unknown)
    swapped = run("make", str(car), *out, "--changed-since", "A")
    assert swapped.exit_code == 0, words(swapped)
    assert (tmp_path / "out" / "two-wire-trailer-changed-since-A.pdf").is_file()

    text = kept.read_text(encoding="utf-8")
    kept.write_text(text.replace("chapters:", "chapters: 3\nx:", 1), encoding="utf-8")
    for command in (["make", str(car), *out], ["issue", str(car), "--revision", "B"]):
        garbled = run(*command)
        assert garbled.exit_code == 1 and "revisions/A.yaml:" in garbled.stderr
    assert not (car / "revisions" / "B.yaml").exists()


def test_another_revision_than_the_vehicles_is_refused_where_it_is_written(car):
    change(car, DATE, "  revision: B\n  date: 2026-05-01\n")
    refused = run("issue", str(car), "--revision", "C")
    assert refused.exit_code == 1
    assert "vehicle.yaml:5:13: the vehicle is at revision B" in refused.stderr
    assert "revision: C" in words(refused) and not (car / "revisions").exists()


def test_a_description_with_problems_is_not_issued(car):
    change(car, "lamp return: {join: [lamp.2, G1]", "lamp return: {join: [lamp.9, G1]")
    refused = run("issue", str(car), "--revision", "A")
    assert refused.exit_code == 1 and "vehicle.yaml:" in refused.stderr
    assert not (car / "revisions").exists()


def test_replace_is_for_the_last_revision_alone(car):
    refused = run("issue", str(car), "--revision", "A", "--replace")
    assert refused.exit_code == 2 and "was not issued yet" in words(refused)


def test_swapping_goes_with_the_whole_book_alone(car):
    refused = run("make", str(car), "--changed-since", "A", "--edition", "order")
    assert refused.exit_code == 2 and "whole book alone" in words(refused)
    none = run("make", str(car), "--changed-since", "A")
    assert none.exit_code == 2 and "none was issued yet" in words(none)


def test_a_kept_book_is_not_found_again_once_a_revision_was_issued(car):
    before = made_key(car, ("whole",))
    (car / "revisions").mkdir()
    (car / "revisions" / "A.yaml").write_text("revision: A\n", encoding="utf-8")
    assert made_key(car, ("whole",)) != before
