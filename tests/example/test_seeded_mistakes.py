"""Mistakes as they happen in practice, laid over the example one at a time, have to be found.

A few run here, spread over the list; all of them with `pytest -n 0 -s tests/benchmarks`.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
import yaml

from tests.conftest import EXAMPLE, in_full
from tests.example.mistakes import (
    Mistake,
    Told,
    found,
    mistakes,
    of_findings,
    told_about,
    with_mistake,
)

ALL = mistakes()
EVERY = 8
"""One in so many runs with the suite: eight of sixty, some of every kind."""


@pytest.fixture(scope="module")
def untouched(lapwing) -> list[Told]:
    return list(of_findings(lapwing))


@pytest.mark.parametrize("mistake", ALL[::EVERY], ids=lambda mistake: mistake.id)
def test_a_mistake_is_found(mistake, untouched, tmp_path):
    after = told_about(with_mistake(mistake, tmp_path / "vehicle"))
    assert found(mistake, untouched, after), mistake.notice


def test_there_are_sixty_mistakes_of_every_kind():
    assert len({mistake.id for mistake in ALL}) == 60
    assert {mistake.kind for mistake in ALL} == {
        "electrical",
        "harness",
        "signals",
        "supply",
        "paper",
    }


@cache
def written(file: Path):
    """What a file of the example holds."""
    return loaded(file.read_text(encoding="utf-8"))


def loaded(text: str):
    """What YAML says, by the quick parser where it is built: 120 files are read here."""
    return yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))


@pytest.mark.parametrize("mistake", ALL, ids=lambda mistake: mistake.id)
def test_every_mistake_can_be_laid_over_the_example(mistake, tmp_path):
    folder = with_mistake(mistake, tmp_path / "vehicle")
    for edit in mistake.edits:
        text = (folder / edit.file).read_text(encoding="utf-8")
        assert loaded(text) != written(in_full(EXAMPLE) / edit.file)


MISTAKE = Mistake("m", "supply", "F5 is too small.", ("F5",), (), ("fuse",))


def test_nothing_new_is_not_found():
    told = [Told(("fuse-small", "error", "F5"), "Fuse F5 carries 9.5 A.")]
    assert not found(MISTAKE, told, told)


def test_new_numbers_alone_are_not_found():
    before = [Told(("fuse-small", "error", "F5"), "Fuse F5 carries 9.5 A.")]
    after = [Told(("fuse-small", "error", "F5"), "Fuse F5 carries 9.6 A.")]
    assert not found(MISTAKE, before, after)


def test_a_name_within_another_does_not_count():
    assert not found(MISTAKE, [], [Told(("fuse-small", "error", "F51"), "Fuse F51 is small.")])


def test_the_right_thing_for_another_reason_is_not_found():
    assert not found(MISTAKE, [], [Told(("price-old", "note", "F5"), "The price of F5 is old.")])


def test_the_right_thing_is_found():
    assert found(MISTAKE, [], [Told(("fuse-small", "error", "F5"), "Fuse F5 carries 9.5 A.")])
