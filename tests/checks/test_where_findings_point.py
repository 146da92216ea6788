"""A finding about a part, a price, a note or a key points at its line and column."""

from __future__ import annotations

import shutil

import pytest

from buildbook.pipeline import look_over, quiet
from tests.conftest import TESTS

PARTS = """parts:
  P-free: {what: Fuse, serves: [fuse blade 3 A], price: 0, dated: 2026-02-01}
  P-old: {what: Label, serves: [label], price: 4.00, dated: 2019-05-17}
  P-undated: {what: Tie, serves: [tie], price: 4.00}
  P-unpriced: {what: Fuse panel, serves: [panel]}
notes: [{file: notes.md, with: vehicle}]
"""
TABLE = "part,what,serves,price,dated\nP-table,Splice,splice,0,2026-02-01\n"
CHANGED = {
    "vehicle.yaml": ("  drop: 5 %\n", "  drop: 5 %\n  lengths: {service loop: 0 mm}\n"),
}


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    """Where each finding of a small vehicle points at: rule and thing -> the text that begins
    there, in which file."""
    folder = tmp_path_factory.mktemp("found") / "car"
    shutil.copytree(TESTS / "vehicles" / "two-wire", folder)
    (folder / "parts.yaml").write_text(PARTS)
    (folder / "parts.csv").write_text(TABLE)
    (folder / "notes.md").write_text("F77 is behind the panel, 水.\n")
    for name, (old, new) in CHANGED.items():
        text = (folder / name).read_text()
        assert old in text
        (folder / name).write_text(text.replace(old, new))
    checked, problems = look_over(folder, quiet)
    assert checked is not None, problems
    pointed = {}
    for finding in checked.findings:
        where = finding.where
        line = (folder / where.file).read_text().splitlines()[where.line - 1]
        pointed[finding.key] = (where.file, line[where.column - 1 :])
    return pointed


@pytest.mark.parametrize(
    ("rule", "about", "file", "begins"),
    [
        ("price-zero", "P-free", "parts.yaml", "0, dated: 2026-02-01}"),
        ("price-zero", "P-table", "parts.csv", "0,2026-02-01"),
        ("price-old", "P-old", "parts.yaml", "2019-05-17}"),
        ("price-old", "P-undated", "parts.yaml", "4.00}"),
        ("price-missing", "panel", "parts.yaml", "P-unpriced: {"),
        ("character-missing", "the notes on vehicle", "parts.yaml", "notes.md"),
        ("service-loop-none", "vehicle", "vehicle.yaml", "0 mm}"),
        ("note-unknown-device", "F77", "parts.yaml", "notes.md"),
    ],
)
def test_a_finding_points_at_what_it_is_about(found, rule, about, file, begins):
    there, text = found[rule, about]
    assert there == file and text.startswith(begins)


def test_what_nothing_serves_points_at_the_section_of_parts(found):
    pointed = {at for (rule, _), at in found.items() if rule == "part-missing"}
    assert pointed == {("parts.yaml", "parts:")}
