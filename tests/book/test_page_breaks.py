"""What stays together on a line and on a page, read from PDFs."""

from __future__ import annotations

import re
from pathlib import Path
from types import SimpleNamespace

import pytest

from buildbook.book.join import alone
from buildbook.book.page_numbers import PageMap
from buildbook.book.render import Job, render
from buildbook.book.resources import WEIGHTS, font_files
from buildbook.book.templates import css_string, environment, identity, named
from tests.book.printed import Line, Word, lines_of
from tests.book_of import book_of

NEXT_LINE_PT = 13.0
"""From a line to the one below it within a cell, at most."""
SPACE_PT = 4.0
SAME_PT = 0.5
ROWS = 6


def torn(lines: list[Line], colour_of: dict[str, str]) -> list[str]:
    """Every wire whose number and colour, or two colours, do not stand on one line."""
    found = [w.text for line in lines for w in line if re.fullmatch(r"[A-Z]{2}/", w.text)]
    for here, below in zip(lines, lines[1:], strict=False):
        for n, word in enumerate(here):
            after = here[n + 1] if n + 1 < len(here) else None
            ends = after is None or after.x - word.right > SPACE_PT
            if ends and word.text in colour_of:
                left = _left_of(here, n)
                if _goes_on(below, word, left, colour_of[word.text]):
                    found.append(f"{word.text} on page {word.page + 1}")
    return found


def _left_of(line: Line, n: int) -> float:
    """Where the words begin that stand together with word `n` of a line."""
    while n and line[n].x - line[n - 1].right <= SPACE_PT:
        n -= 1
    return line[n].x


def _goes_on(below: Line, word: Word, left: float, colour: str) -> bool:
    """Whether the line below goes on with the colour; in drawings it stands below by itself."""
    if below[0].page != word.page or below[0].y - word.y > NEXT_LINE_PT:
        return False
    for w, after in zip(below, (*below[1:], None), strict=True):
        if abs(w.x - left) < SAME_PT and w.text.strip(";,") == colour:
            alone_there = after is None or after.x - w.right > SPACE_PT
            return word.x > left or not alone_there
    return False


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_a_wires_number_and_colour_stand_on_one_line(vehicle, request):
    result = request.getfixturevalue(vehicle)
    colour_of = {wire.id: wire.colour for wire in result.harness.wires.values()}
    assert torn(lines_of(book_of(result)), colour_of) == []


def page_of(html: str, result, target: Path, body: str = "<body>") -> list[Line]:
    """The lines of some HTML, set in the look of a result's book."""
    faces = [(path.as_uri(), *WEIGHTS[name]) for name, path in font_files().items()]
    look = environment().get_template("book.css")
    css = look.render(
        faces=faces,
        vehicle=result.vehicle.description.vehicle,
        chapter=SimpleNamespace(title="A page"),
        place=1,
        page_mm=(210, 297),
        pages=PageMap(),
        quoted=css_string,
    )
    target.write_bytes(alone(render(Job("a", f"<style>{css}</style>{body}{html}</body>", {}))))
    return lines_of(target)


@pytest.mark.parametrize("together", [True, False])
def test_a_colour_apart_from_its_number_is_found(two_wire, tmp_path, together):
    """The judge itself, in columns of all widths."""
    wire = SimpleNamespace(id="505c", colour="RD/BK")
    words = identity(named(wire)) if together else named(wire)
    rows = "".join(
        f"<table style='width: {mm}mm'><tr><td>to feed {words} 0.5</td></tr></table>"
        for mm in range(14, 40)
    )
    lines = page_of(rows, two_wire, tmp_path / "narrow.pdf")
    assert bool(torn(lines, {"505c": "RD/BK"})) is not together


def test_what_is_ticked_has_its_box_and_no_bullet_as_well(two_wire, tmp_path):
    html = "<ul><li>Lay ropes</li><li><span class='tick'></span> Name plugs</li></ul>"
    lines = page_of(html, two_wire, tmp_path / "list.pdf")
    said = [[word.text for word in line] for line in lines]
    (laid,) = (line for line in said if "ropes" in line)
    (ticked,) = (line for line in said if "plugs" in line)
    assert laid == ["•", "Lay", "ropes"]
    assert ticked == ["Name", "plugs"]


def test_no_row_of_a_table_stands_alone_on_a_page(two_wire, tmp_path):
    """A table moved down a page by steps of less than a row: two rows at least on either page."""
    row = "<tr><td>row</td></tr>"
    table = f"<table><thead><tr><th>Head</th></tr></thead><tbody>{row * ROWS}</tbody></table>"
    split = 0
    for mm in range(220, 262, 2):
        html = f"<div style='height: {mm}mm'></div>{table}"
        lines = page_of(html, two_wire, tmp_path / "moved.pdf")
        pages = [line[0].page for line in lines if line[0].text == "row"]
        counts = {pages.count(page) for page in pages}
        assert len(pages) == ROWS and 1 not in counts, f"{mm} mm"
        split += len(set(pages)) > 1
    assert split > 1


def test_what_ends_just_over_a_page_is_set_closer_to_end_before_it(two_wire, tmp_path):
    """Tables of more and more rows, set closer where that saves the last page, and as they are."""
    saved = []
    for count in range(62, 80):
        rows = "".join(f"<tr><td>row {n}</td></tr>" for n in range(count))
        table, pages = f"<table><tbody>{rows}</tbody></table>", []
        for body in ("<body>", "<body data-as-it-is>"):
            lines = page_of(table, two_wire, tmp_path / "closer.pdf", body)
            told = re.findall(r"row (\d+)", " ".join(w.text for line in lines for w in line))
            assert told == [str(n) for n in range(count)]
            pages.append((1 + lines[-1][0].page, sum(line[0].page == 1 for line in lines)))
        (closer, _), (loose, last) = pages
        assert loose - closer in (0, 1) and (last < 8 or closer == loose), count
        saved.append(loose - closer)
    assert 2 <= sum(saved) <= 7


def test_a_circuits_note_stands_on_the_page_of_its_wires(two_wire, tmp_path):
    """A table moved down a page by steps of less than a row."""
    row, before = "<tr><td>row</td></tr>", "<tr><td>before</td></tr>"
    note = "<tr class='first leads'><td>note</td></tr>"
    table = f"<table><tbody>{before * 4}{note}{row * 4}</tbody></table>"
    split = 0
    for mm in range(222, 262, 2):
        html = f"<p>first</p><div style='height: {mm}mm'></div>{table}"
        lines = page_of(html, two_wire, tmp_path / "noted.pdf")
        page = {line[0].text: line[0].page for line in reversed(lines)}
        assert page["note"] == page["row"], f"{mm} mm"
        split += page["note"] > page["first"]
    assert split > 1


@pytest.mark.parametrize("count", [12, 36, 44, 52])
def test_contents_that_go_over_the_page_stand_in_two_columns_on_it(two_wire, tmp_path, count):
    """Three lines of contents were a page of their own; every line keeps its page beside it."""
    cover = '<div style="height: 90mm">cover</div><div class="contents">'
    rows = "".join(f'<p>row{n}<span class="leader">9–{n}</span></p>' for n in range(count))
    lines = page_of(f"{cover}{rows}</div>", two_wire, tmp_path / "contents.pdf")
    assert {line[0].page for line in lines} == {0}
    words = [word.text for line in lines for word in line]
    at = {word: n for n, word in enumerate(words)}
    assert [words[at[f"row{n}"] + 1] for n in range(count)] == [f"9–{n}" for n in range(count)]


@pytest.mark.parametrize("letters", range(20, 60, 3))
def test_two_things_side_by_side_stand_apart(two_wire, tmp_path, letters):
    """Words of any length: the left one's last may not run into the right one's first."""
    left = " ".join(["l" * 3] * letters)
    html = f"<ul class='steps halves'><li>{left}</li><li>right</li></ul>"
    lines = page_of(html, two_wire, tmp_path / "halves.pdf")
    (right,) = [word for line in lines for word in line if word.text == "right"]
    edge = max(word.right for line in lines for word in line if word.text == "lll")
    assert right.x - edge > SPACE_PT
