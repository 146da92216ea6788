"""What is kept in the cache folder: found by what it follows from, bounded, and never another."""

from __future__ import annotations

import os
import shutil

import pytest
from click.testing import CliRunner

from buildbook.book import kept_books
from buildbook.book.edition_list import EDITION_LINES, PHONE_NAME
from buildbook.book.editions import EDITIONS
from buildbook.book.join import alone
from buildbook.book.kept_books import made_key
from buildbook.book.kept_chapters import from_bytes, job_key, kept_renderer, to_bytes
from buildbook.book.render import Job, Rendered, render
from buildbook.book.workers import EARLY
from buildbook.cli import main
from buildbook.drawing.registry import KINDS
from buildbook.files import kept
from buildbook.sizing.stage import Sized
from tests.book.typeface import TYPEFACE
from tests.conftest import TESTS

TWO_WIRE = TESTS / "vehicles" / "two-wire"
JOB = Job("one", f'<html lang="en">{TYPEFACE}<h1 id="chapter-one">One</h1><p>words', {})


def noting(names: list[str]):
    def render_jobs(jobs):
        for job in jobs:
            names.append(job.name)
            yield render(job)

    return render_jobs


def test_a_chapter_is_read_as_it_was_kept():
    rendered = render(JOB)
    assert from_bytes(to_bytes(rendered)) == rendered


def test_a_chapter_is_set_once_and_gives_the_same_bytes():
    names: list[str] = []
    (first,) = kept_renderer(noting(names))([JOB])
    (second,) = kept_renderer(noting(names))([JOB])
    assert names == ["one"]
    assert alone(second) == alone(first) == alone(render(JOB))


def test_only_what_changed_is_set_anew():
    names: list[str] = []
    other = Job("two", f"{TYPEFACE}<h1>Two", {})
    list(kept_renderer(noting(names))([JOB, other]))
    changed = Job("two", f"{TYPEFACE}<h1>Two, 310 mm", {})
    found = kept_renderer(noting(names))([JOB, changed])
    assert sorted(one.name for one in found) == ["one", "two"]
    assert names == ["one", "two", "two"]


def test_a_drawing_or_a_reference_that_changed_is_another_chapter():
    assert job_key(JOB) != job_key(Job(JOB.name, JOB.html, {"d": "<svg/>"}))
    assert job_key(JOB) == job_key(Job(JOB.name, JOB.html, {}))


@pytest.mark.parametrize("spoilt", [b"", b"x" * 100])
def test_a_file_that_was_spoilt_is_passed_over(cache_folder, spoilt):
    names: list[str] = []
    list(kept_renderer(noting(names))([JOB]))
    (file,) = cache_folder.iterdir()
    file.write_bytes(spoilt)
    list(kept_renderer(noting(names))([JOB]))
    assert names == ["one", "one"]
    assert from_bytes(spoilt) is None


def test_what_was_longest_not_asked_for_goes_first(cache_folder):
    for age, name in enumerate(("new", "old", "older")):
        kept.keep(name, bytes(1000))
        os.utime(cache_folder / name, (1_000_000 - age, 1_000_000 - age))
    kept.trim(2500)
    assert sorted(path.name for path in cache_folder.iterdir()) == ["new", "old"]
    assert kept.find("older") is None


def run(*words: object):
    return CliRunner().invoke(main, [str(word) for word in words])


def order(vehicle, out, *words: object):
    ended = run("make", vehicle, "--edition", "order", "--out", out, *words)
    assert ended.exit_code == 0, ended.output
    (made,) = out.iterdir()
    return made.read_bytes(), ended


def test_kept_or_not_the_book_is_the_same_to_the_byte(tmp_path, cache_folder):
    cold, first = order(TWO_WIRE, tmp_path / "1", "--no-cache")
    assert not cache_folder.exists()
    filled, _ended = order(TWO_WIRE, tmp_path / "2")
    again, second = order(TWO_WIRE, tmp_path / "3")
    assert cold == filled == again
    assert "Chapter" in first.stderr and "Chapter" not in second.stderr
    car = tmp_path / "car"
    shutil.copytree(TWO_WIRE, car)
    with (car / "vehicle.yaml").open("a") as file:
        file.write("# a remark\n")
    remarked, _ended = order(car, tmp_path / "4")
    assert remarked == cold
    assert run("forget").exit_code == 0
    assert not cache_folder.exists()


def test_a_book_of_files_that_changed_meanwhile_is_not_kept(tmp_path, cache_folder, monkeypatch):
    keys = iter(("before", "after"))
    monkeypatch.setattr(kept_books, "made_key", lambda *_: next(keys))
    order(TWO_WIRE, tmp_path / "out")
    assert not (cache_folder / "before").exists()


def test_every_file_and_word_counts_for_what_is_made(tmp_path):
    car = tmp_path / "car"
    shutil.copytree(TWO_WIRE, car)
    key = made_key(car, ("whole",))
    assert made_key(car, ("whole",)) == key
    assert made_key(car, ("order",)) != key
    for name in ("note.md", "photo.jpg", "photo of the bulkhead", "notes/fuel.txt"):
        (car / name).parent.mkdir(exist_ok=True)
        (car / name).write_text("as it was")
        before, key = key, made_key(car, ("whole",))
        (car / name).write_text("as it is")
        assert len({before, key, made_key(car, ("whole",))}) == 3


def test_what_is_made_and_hidden_folders_count_for_nothing(tmp_path):
    car = tmp_path / "car"
    shutil.copytree(TWO_WIRE, car)
    key = made_key(car, ("whole",))
    for name in ("output/car.pdf", "car-phone.HTML", ".history/vehicle.yaml"):
        (car / name).parent.mkdir(exist_ok=True)
        (car / name).write_text("something")
    assert made_key(car, ("whole",)) == key


def test_the_list_of_editions_is_the_editions():
    assert {name: edition.teaches for name, edition in EDITIONS.items()} == {
        name: line for name, line in EDITION_LINES.items() if name != PHONE_NAME
    }


def test_what_is_drawn_early_follows_from_the_sizes_alone():
    stages = {kind.name: kind.stage for kind in KINDS}
    assert {stages[kind] for kinds in EARLY for kind in kinds} == {Sized}


def test_nothing_kept_is_read_as_a_program():
    rendered = Rendered("one", (1.0,), {})
    assert b"pickle" not in to_bytes(rendered)
    assert from_bytes(b"\x80\x04cos\nsystem\n") is None
