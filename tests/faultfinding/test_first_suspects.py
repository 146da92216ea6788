"""The book and `diagnose` name the same first five suspects in the same order, symptom by symptom.

Trees and trackside pages are read from their PDF, the command from what it prints.
"""

from __future__ import annotations

import re

import pytest

from buildbook.book.chapters import trackside
from buildbook.book.fault_trees import FIRST
from buildbook.book.fault_wording import briefly
from buildbook.book.opening import parts
from buildbook.commands.diagnose import Told, report_of
from buildbook.commands.diagnosis_text import tell
from buildbook.faultfinding.diagnosis import diagnose, fault_table
from buildbook.faultfinding.sweep_arrays import for_diagnosis, from_arrays, to_arrays
from tests.faultfinding.printed_mechanic import Book, chapter_text
from tests.once import once, swept_of

VEHICLES = ["motorcycle", "two_batteries", "lapwing"]
LINE = re.compile(r"^ +\d+\. (?: *\d+%)?  (.+?)(?: – .+)?$", re.MULTILINE)


@once
def table_of(result):
    """As the command finds it in the cache folder."""
    vehicle, harness = result.vehicle, result.harness
    kept = to_arrays(for_diagnosis(vehicle, harness, swept_of(result)), {})
    return fault_table(vehicle, harness, from_arrays(kept)[0])


def first_of(result, capsys, words: str) -> list[str]:
    """Titles of the first suspects that `diagnose --says WORDS` prints."""
    table = table_of(result)
    tell(table, diagnose(table, report_of(table, Told(says=words), None)))
    printed = capsys.readouterr().out.partition("Suspects, likeliest first")[2]
    return LINE.findall(printed)[:FIRST]


def ids_of(result, titles: list[str]) -> list[str]:
    """A fault of each title: those of one title are of one part, of more or fewer ohms."""
    faults = result.faultfinding.faults.values()
    by_title = {fault.title: fault.id for fault in faults if fault.mode != "swap"}
    return [by_title[title] for title in titles]


def tight(text: str) -> str:
    return re.sub(r"\s", "", text)


@pytest.mark.parametrize("name", VEHICLES)
def test_every_printed_tree_begins_with_the_suspects_of_the_command(
    name, request, tmp_path, capsys
):
    result = request.getfixturevalue(name)
    book = Book(result, tmp_path)
    compared = 0
    for row in book.trees:
        for anchor, heading in zip(row.tree.anchors, row.tree.headings, strict=True):
            lines, _, said = book.lines(anchor)
            printed = tight(said.partition("Likeliest: ")[2] if lines else said)
            told = first_of(result, capsys, heading)
            first = tight(briefly(result, ids_of(result, told)))
            if lines:
                assert printed.startswith(f"{first}1"), (heading, printed[:200], first)
            else:
                every = next(s.suspects for s in result.faultfinding.symptoms if s.id == anchor)
                assert [result.faultfinding.faults[f].title for f in every[:FIRST]] == told, heading
                assert tight(briefly(result, every)) in printed, heading
            compared += 1
    assert compared == len(result.faultfinding.symptoms)


@pytest.mark.parametrize("name", VEHICLES)
def test_every_trackside_opening_begins_with_the_suspects_of_the_command(
    name, request, tmp_path, capsys
):
    result = request.getfixturevalue(name)
    text = tight(chapter_text(result, tmp_path, trackside))
    entries = result.faultfinding.entries
    assert len(entries) > 3
    start = 0
    for number, entry in enumerate(entries, 1):
        head = tight(f"{number} {entry.name[:1].upper()}{entry.name[1:]}")
        start = re.compile(rf"{re.escape(head)}(CAUTION|Set:)").search(text, start).start()
        printed = text[text.index("Likeliest:", start) + len("Likeliest:") :]
        told = ids_of(result, first_of(result, capsys, entry.name))
        first = tight(parts(result, told, FIRST))
        assert printed.startswith(first), (entry.name, printed[:200], first)
