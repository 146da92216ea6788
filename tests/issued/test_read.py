"""`revisions/` as it is read: what was issued one after the other, and nothing garbled."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from buildbook.issued.model import Dated, Facts, IssuedChapter, IssuedPage, IssuedWire, Revision
from buildbook.issued.read import read_issued
from buildbook.issued.text import revision_text
from buildbook.sizing.changes import changes

A, B = datetime.date(2026, 3, 1), datetime.date(2026, 5, 1)


def revision(name: str, *earlier: str, page: str = "") -> Revision:
    """One page, whose hash is made of the letter before last of its kind."""
    one = IssuedPage(revision=page or name, hash="a" * 32, bars="b" * 12)
    return Revision(
        revision=name,
        date=B if earlier else A,
        earlier=[Dated(revision=before, date=A) for before in earlier],
        changes=["wire 103 now 1.5 mm2, was 1 mm2"] if earlier else [],
        chapters=[IssuedChapter(name="use", pages=[one], rows=f"{'b' * 12} {'c' * 12}")],
        fuses={"F1": "10 A"},
    )


def write(folder: Path, *revisions: Revision) -> None:
    place = folder / "revisions"
    place.mkdir(exist_ok=True)
    for one in revisions:
        (place / f"{one.revision}.yaml").write_text(revision_text(one), encoding="utf-8")


def problem(folder: Path) -> tuple[str, str]:
    """Place and words of the one problem."""
    issued, problems = read_issued(folder)
    assert issued.revisions == ()
    (found,) = problems
    return str(found.where), found.what


def test_what_is_written_is_read_again(tmp_path):
    write(tmp_path, revision("B", "A", page="A"), revision("A"))
    issued, problems = read_issued(tmp_path)
    assert problems == []
    assert issued.names == ["A", "B"]
    assert issued.revisions == (revision("A"), revision("B", "A", page="A"))
    assert issued.base_of("B") == issued.base_of("C") == issued.revisions[1]


def test_dates_that_are_the_same_are_written_out_each_time(tmp_path):
    """A reader of descriptions takes no YAML aliases, and a dumper makes them unasked."""
    write(tmp_path, revision("A"), revision("B", "A"), revision("C", "A", "B"))
    assert read_issued(tmp_path)[1] == []


def test_a_folder_without_revisions_has_none(tmp_path):
    assert read_issued(tmp_path)[1] == []


def test_hashes_in_letters_are_no_numbers_to_any_reader_of_yaml():
    assert "'" not in revision_text(revision("A")).split("chapters:")[1]


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ("a" * 32, "12345678", r"revisions/A.yaml:10:"),
        ("date: 2026-03-01", "date: yesterday", r"revisions/A.yaml:5:"),
        ("chapters:", "chapter:", r"revisions/A.yaml:"),
        ("revision: A\n", "revision: [A\n", r"revisions/A.yaml:"),
        ("revision: A,", "revision: Z,", r"revisions/A.yaml:10:"),
        ("revision: A\n", "revision: Q\n", r"revisions/A.yaml:4:"),
        ("- name: use", "- name: !!python/object:os.system x", r"revisions/A.yaml:8:"),
    ],
)
def test_a_garbled_file_is_told_with_its_place(tmp_path, old, new, place):
    write(tmp_path, revision("A"))
    path = tmp_path / "revisions" / "A.yaml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    issued, problems = read_issued(tmp_path)
    assert issued.revisions == ()
    assert problems and all(str(p.where).startswith("revisions/A.yaml:") for p in problems)
    assert any(str(p.where).startswith(place) for p in problems), [str(p.where) for p in problems]


def test_bytes_that_are_no_text_are_told(tmp_path):
    write(tmp_path, revision("A"))
    (tmp_path / "revisions" / "A.yaml").write_bytes(b"\xff\x00revision")
    assert problem(tmp_path)[0].startswith("revisions/A.yaml:1:1")


def test_two_revisions_that_both_follow_a_third_are_told(tmp_path):
    write(tmp_path, revision("A"), revision("B", "A"), revision("C", "A"))
    place, what = problem(tmp_path)
    assert place.startswith("revisions/C.yaml:") and "B and C do not follow one another" in what


def test_a_revision_that_comes_after_itself_is_told(tmp_path):
    write(tmp_path, revision("A"), revision("B", "A", "B"))
    assert "names one twice" in problem(tmp_path)[1]


def test_a_file_where_the_folder_should_be_and_one_outside_are_told(tmp_path):
    (tmp_path / "car").mkdir()
    (tmp_path / "car" / "revisions").write_text("", encoding="utf-8")
    assert "is not a folder" in problem(tmp_path / "car")[1]
    (tmp_path / "other").mkdir()
    write(tmp_path, revision("A"))
    (tmp_path / "other" / "revisions").symlink_to(tmp_path / "revisions")
    assert "outside" in problem(tmp_path / "other")[1]


def wire(circuit: str, from_: str, to: str, length: str) -> IssuedWire:
    return IssuedWire(circuit=circuit, from_=from_, to=to, size="1 mm2", length=length, colour="RD")


def test_a_wire_whose_number_shifts_is_known_again_by_its_ends():
    before = Facts(wires={"101": wire("feed", "a.1", "b.1", "300 mm")})
    now = Facts(
        wires={
            "101": wire("new", "c.1", "d.1", "200 mm"),
            "102": wire("feed", "b.1", "a.1", "310 mm"),
        }
    )
    assert changes(before, now) == (
        "wire 101 is new: c.1 to d.1, 1 mm2, 200 mm, RD",
        "wire 102 (was 101) now 310 mm, was 300 mm",
    )
