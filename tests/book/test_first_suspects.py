"""The book and `diagnose` name the same first five suspects in the same order, symptom by symptom.

The book is read from its PDF, the command from what it prints.
"""

from __future__ import annotations

import re
import subprocess

import pytest

from buildbook.book.chapters import troubleshooting
from buildbook.book.fault_trees import FIRST
from buildbook.book.fault_wording import briefly
from buildbook.book.join import alone
from buildbook.book.page_numbers import PageMap
from buildbook.book.render import Job, render
from buildbook.book.templates import chapter_html
from buildbook.commands.diagnose import Told, report_of
from buildbook.commands.diagnosis_text import tell
from buildbook.faultfinding.diagnosis import diagnose, fault_table
from buildbook.faultfinding.sweep_arrays import for_diagnosis, from_arrays, to_arrays
from tests.once import swept_of, undrawn


@pytest.fixture(scope="module")
def table(motorcycle):
    """As the command finds it in the cache folder."""
    vehicle, harness = motorcycle.vehicle, motorcycle.harness
    kept = to_arrays(for_diagnosis(vehicle, harness, swept_of(motorcycle)), {})
    return fault_table(vehicle, harness, from_arrays(kept)[0])


@pytest.fixture(scope="module")
def printed(motorcycle, tmp_path_factory) -> str:
    """The chapter's text as it stands in the PDF, without the gaps of its lines."""
    (chapter,) = troubleshooting.chapters(motorcycle, undrawn(motorcycle))
    vehicle = motorcycle.vehicle
    html = chapter_html(
        chapter, 1, (chapter,), vehicle.description.vehicle, PageMap(), vehicle.supply
    )
    path = tmp_path_factory.mktemp("chapter") / "troubleshooting.pdf"
    path.write_bytes(alone(render(Job(chapter.name, html, {}))))
    told = subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, check=True)
    return re.sub(r"\s+", "", told.stdout.decode())


def first_of(table, capsys, heading: str) -> list[str]:
    """Titles of the first suspects that `diagnose --says HEADING` prints."""
    tell(table, diagnose(table, report_of(table, Told(says=heading), None)))
    lines = re.findall(r"^ +\d+\. (?: *\d+%)?  (.+?) – ", capsys.readouterr().out, re.MULTILINE)
    return lines[:FIRST]


def test_every_symptom_begins_with_the_same_suspects(motorcycle, table, printed, capsys):
    faults = motorcycle.faultfinding.faults
    by_title = {fault.title: fault.id for fault in faults.values() if fault.mode != "swap"}
    suspects = {s.id: s.suspects for s in motorcycle.faultfinding.symptoms}
    compared = 0
    for _, rows in troubleshooting.printed(motorcycle, troubleshooting.grouped(motorcycle)):
        for row in rows:
            tree = row.tree
            plain = re.sub(r"[‹›\s]", "", tree.likely)
            assert plain in printed
            own = tree.names or ((),) * len(tree.anchors)
            for anchor, heading, names in zip(tree.anchors, tree.headings, own, strict=True):
                said = tree.likely
                for letter, name in zip(tree.letters, names, strict=True):
                    said = said.replace(f"‹{letter}›", name)
                told = first_of(table, capsys, heading)
                ids = [by_title.get(title, title) for title in told]
                if all(name in suspects[anchor] for name in ids) and tree.lines:
                    assert briefly(motorcycle, ids) == said, heading
                    compared += 1
                assert [faults[f].title for f in suspects[anchor][:FIRST]] == told, heading
    assert compared > 20
