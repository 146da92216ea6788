"""The audit finds nothing in a book as it is made, and every discrepancy put into its pages."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace

import pytest
from click.testing import CliRunner

from buildbook.audit.audit import audit_pages, rows_of_edition
from buildbook.audit.compare import differences, printed_on
from buildbook.audit.expected_rows import CIRCUIT_WIRES, CUT, of_fuses
from buildbook.audit.model import Kind, Page, Word
from buildbook.audit.read_pages import pages_of
from buildbook.audit.read_tables import rows_of
from buildbook.cli import main
from buildbook.export.tables import table
from buildbook.export.wires import cut_rows
from buildbook.pipeline import work_out
from tests.audit.seeded import seeds
from tests.book_of import book_of, order_pack_of, texts_of, workings_of
from tests.conftest import TESTS
from tests.once import once
from tests.words.said import in_language_of
from tests.words.test_terms import CATALOGUES, messages

HYPHENS = "\u2010\ufffe\x02"
"""What readers give for a hyphen at the end of a line."""
UNBROKEN = 12
"""Letters of a word that may be broken, at least."""


@once
def pages_read(result) -> tuple[Page, ...]:
    """The pages of the whole book, read back."""
    return tuple(pages_of(book_of(result)))


VEHICLES = ("two_wire", "motorcycle", "starter", "lapwing", "positive_earth", "two_batteries")


@pytest.mark.parametrize("name", VEHICLES)
def test_a_book_as_it_is_made_says_what_the_model_says(name, request):
    result = request.getfixturevalue(name)
    assert audit_pages(pages_read(result), result) == []


@pytest.fixture(scope="module")
def two_wire_in_german(tmp_path_factory):
    folder = tmp_path_factory.mktemp("german") / "two-wire"
    result, problems = work_out(in_language_of(TESTS / "vehicles" / "two-wire", folder))
    assert result is not None, problems
    return result


def test_a_german_book_says_what_the_model_says(two_wire_in_german):
    assert audit_pages(pages_read(two_wire_in_german), two_wire_in_german) == []


def test_a_german_book_breaks_no_short_word(two_wire_in_german):
    """Heads of narrow columns: a word of the catalogues is broken where it is long, if at all."""
    ours = {
        word
        for path in CATALOGUES
        for _english, german in messages(path)
        for word in re.findall(r"\w+", german)
    }
    text = " ".join(texts_of(book_of(two_wire_in_german)))
    broken = {"".join(parts) for parts in re.findall(rf"(\w+)(?:[{HYPHENS}]\s*|-\n)(\w+)", text)}
    assert [word for word in broken & ours if len(word) < UNBROKEN] == []


@pytest.mark.parametrize("name", ["two_wire", "lapwing"])
def test_the_order_pack_says_what_the_model_says(name, request):
    result = request.getfixturevalue(name)
    assert audit_pages(tuple(pages_of(order_pack_of(result))), result, "order") == []


@pytest.mark.parametrize("name", ["two_wire", "motorcycle", "lapwing"])
def test_the_workings_say_what_the_model_says(name, request):
    result = request.getfixturevalue(name)
    assert audit_pages(tuple(pages_of(workings_of(result))), result, "workings") == []


@pytest.mark.parametrize("name", ["motorcycle", "lapwing"])
def test_every_seeded_discrepancy_is_found_on_its_page(name, request):
    result = request.getfixturevalue(name)
    pages = pages_read(result)
    wanted = rows_of_edition(result, "whole", "")
    printed = [printed_on(page, wanted) for page in pages]
    missed = []
    for seed in seeds(pages, result, count=50, seed=20260301):
        at = seed.page - 1
        spoilt = printed_on(seed.pages[at], wanted)
        found = differences([*printed[:at], spoilt, *printed[at + 1 :]], wanted)
        told = {d.page for d in found} & {0, seed.page}
        # Of rows that are alike the last is the one too many, wherever it stands.
        if not (told or (found and seed.sort == "doubled")):
            missed.append((seed.sort, seed.page, seed.said))
    assert missed == []


def test_a_lost_page_is_told_row_by_row(two_wire):
    pages = pages_read(two_wire)
    whole = sum(map(len, rows_of_edition(two_wire, "whole", "").values()))
    assert len(audit_pages((), two_wire)) == whole
    assert any(audit_pages(pages[:n] + pages[n + 1 :], two_wire) for n in range(len(pages)))


def test_the_command_tells_page_and_line_and_ends_with_one(tmp_path, two_wire):
    folder = tmp_path / "car"
    folder.mkdir()
    text = (TESTS / "vehicles" / "two-wire" / "vehicle.yaml").read_text(encoding="utf-8")
    (folder / "vehicle.yaml").write_text(text, encoding="utf-8")
    book = str(book_of(two_wire))
    clean = CliRunner().invoke(main, ["audit", book, str(folder)])
    assert clean.exit_code == 0, clean.output
    assert "0 differences" in clean.output or "no differences" in clean.output
    longer = text.replace("length: 2.4 m", "length: 2.5 m")
    (folder / "vehicle.yaml").write_text(longer, encoding="utf-8")
    ended = CliRunner().invoke(main, ["audit", book, str(folder)])
    assert ended.exit_code == 1
    assert "wires of a circuit: " in ended.output and "Cut mm is printed" in ended.output
    assert "page " in ended.output and ", line " in ended.output


def test_what_is_no_pdf_is_told(tmp_path):
    (tmp_path / "book.pdf").write_bytes(b"no book")
    words = ["audit", str(tmp_path / "book.pdf"), str(TESTS / "vehicles" / "two-wire")]
    ended = CliRunner().invoke(main, words)
    assert ended.exit_code == 2 and "cannot be read as a PDF" in ended.output


@pytest.mark.parametrize("name", ["motorcycle", "lapwing"])
def test_a_wire_is_as_long_on_paper_as_in_the_table_of_the_export(name, request):
    """A half millimetre is cut to the next whole one in both."""
    result = request.getfixturevalue(name)
    wanted = rows_of_edition(result, "whole", "")
    text = table(cut_rows(result))
    exported = {row["id"]: row["cut_length_m"] for row in csv.DictReader(io.StringIO(text))}
    compared = 0
    for page in pages_read(result):
        for row in printed_on(page, wanted).get(CIRCUIT_WIRES, ()):
            mm = row.cells[CUT].removesuffix("≈")
            assert f"{float(exported[row.key]) * 1000:.6g}" == mm, row.key
            compared += 1
    assert compared == len(exported)


@pytest.mark.parametrize(
    ("broken", "whole"),
    [("Kraftstoff\u2010", "Kraftstoffstand"), ("Kraftstoff-", "Kraftstoff-stand")],
)
def test_a_word_that_the_page_breaks_is_read_whole(broken, whole):
    """A hyphen that the author wrote stays."""
    kind = Kind("pins", ("Pin", "Wire", "Use"), 0)
    lines = tuple(
        tuple(Word(x, x + 30, y, text) for x, text in cells)
        for y, cells in (
            (10.0, ((0, "Pin"), (50, "Wire"), (100, "Use"))),
            (20.0, ((0, "A1"), (50, "101"), (100, broken))),
            (28.0, ((100, "stand"),)),
        )
    )
    ((_, found),) = rows_of(Page(1, lines), [kind])
    assert found.cells["Use"] == whole


@pytest.mark.parametrize(
    ("below", "circuit"),
    [("105 fuzz 5 (spare)", "104 lamp return"), ("of it", "104 lamp returnof it")],
)
def test_what_stands_over_the_rows_of_a_circuit_is_no_more_of_the_row_before(below, circuit):
    """A spare circuit is said in a line of its own, with its wires below it."""
    kind = Kind("wires", ("Circuit", "Wire", "From"), 1, above=("105fuzz5",))
    heads = (10.0, ((0, "Circuit"), (90, "Wire"), (130, "From")))
    row = (20.0, ((0, "104 lamp return"), (90, "104"), (130, "lamp.2")))
    lines = tuple(
        tuple(Word(x, x + 30, y, text) for x, text in cells)
        for y, cells in (heads, row, (29.0, ((0, below),)))
    )
    ((_, found),) = rows_of(Page(1, lines), [kind])
    assert found.cells["Circuit"] == "".join(circuit.split())


def test_a_terminal_that_nothing_is_at_has_a_row_of_two_cells():
    """A fuse whose circuit was taken out: its pin is printed, and "unused"."""
    heads = ("Device", "Pin", "Wire, colour, size", "Terminal", "Circuit, use", "on")
    kind = Kind("terminals", heads, 1, key_like=r"\S+", least=2)
    lines = (
        tuple(Word(90 * n, 90 * n + 30, 10.0, head) for n, head in enumerate(heads)),
        (Word(90, 120, 20.0, "F1.out"), Word(180, 220, 20.0, "unused")),
    )
    ((_, found),) = rows_of(Page(1, lines), [kind])
    assert (found.key, found.cells["Wire, colour, size"]) == ("F1.out", "unused")


def test_a_fuse_without_a_name_is_asked_for_as_its_kind(two_wire):
    fuse = replace(two_wire.vehicle.devices["F1"], title="F1", what_it_is="Fuse")
    devices = {**two_wire.vehicle.devices, "F1": fuse}
    found = of_fuses(replace(two_wire, vehicle=replace(two_wire.vehicle, devices=devices)))
    assert [row.cells["What it is"] for rows in found.values() for row in rows] == ["Fuse"]
