"""The helper's pack: one harness, all of it, and nothing of the others."""

from __future__ import annotations

import html
import re
from dataclasses import replace

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from buildbook.bench.build_sheet import build_sheet
from buildbook.book.chapter import Chapter
from buildbook.book.editions import chapters_of, helper_pack
from buildbook.book.page_numbers import PageMap, first_pages
from buildbook.book.render import Job, render
from buildbook.book.templates import chapter_html
from buildbook.cli import main
from buildbook.figures import METRIC
from buildbook.parts.keys import colour_of
from tests.conftest import TESTS
from tests.once import undrawn

TWO_WIRE = TESTS / "vehicles" / "two-wire"


def words_of(result, chapters: tuple[Chapter, ...], chapter: Chapter) -> str:
    """The words of a chapter without its marks, spaces single."""
    place = chapters.index(chapter)
    vehicle = result.vehicle.description.vehicle
    pages = PageMap(first_pages(chapters))
    text = chapter_html(chapter, place, chapters, vehicle, pages, result.vehicle.supply)
    text = re.sub(r"<style>.*?</style>|</?span[^>]*>", "", text, flags=re.S)  # spans part no words
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


@pytest.mark.parametrize("harness", ["gearbox", "bumper", "rear"])
def test_every_step_of_the_build_is_on_its_sheets(lapwing, harness):
    chapters = chapters_of(helper_pack(harness), lapwing, undrawn(lapwing))
    text = words_of(lapwing, chapters, next(c for c in chapters if c.template == "harness.html"))
    sheet = build_sheet(
        lapwing.vehicle, lapwing.harness, lapwing.sizing, lapwing.finished_runs, harness
    )
    said = [METRIC.words(need.what) for need in sheet.gather if not colour_of(need.key)]
    said += [
        f"{colour_of(need.key)} {need.quantity:.2f}" for need in sheet.gather if colour_of(need.key)
    ]
    said += [
        f"{row.name} {row.colour or 'cable'} {METRIC.bare_size(row.size)} {row.cut_mm}"
        for row in sheet.cuts
    ]
    said += [label.text for label in sheet.labels]
    rows = [r for t in sheet.terminations for r in t.rows]
    said += [f"{r.cavity} {r.wire.id} {r.wire.colour} {METRIC.bare_size(r.size)}" for r in rows]
    said += [f"{r.terminal}, strip {r.strip_mm:g} mm, tool T" for r in rows]
    said += [step.splice.id for step in sheet.splices]
    said += [f"{s.run.from_point} – {s.run.to_point}" for s in sheet.dressing]
    assert [words for words in said if " ".join(words.split()) not in text] == []


def test_the_pack_holds_one_harness_and_the_faces_of_its_connectors(lapwing):
    chapters = chapters_of(helper_pack("gearbox"), lapwing, undrawn(lapwing))
    assert [c.template for c in chapters[:3]] == ["front.html", "use.html", "harness.html"]
    assert {c.template for c in chapters[3:]} <= {"faces.html"}, "its terminals, where it has any"
    faces = {plug.sheet.name for plug in chapters[2].context["terminations"]}
    ends = [e for w in lapwing.harness.wires.values() if w.harness == "gearbox" for e in (w.a, w.b)]
    assert faces == {e.connector for e in ends if e.connector}


def test_cautions_stand_where_the_work_is(lapwing):
    chapters = chapters_of(helper_pack("engine"), lapwing, undrawn(lapwing))
    text = words_of(lapwing, chapters, chapters[2])
    for work, caution in (
        ("Cut and label", "HOT AIR"),
        ("Splice", "HOT AIR"),
        ("Terminate", "CRIMPS"),
        ("Test on the bench", "TEST VOLTAGE"),
    ):
        place = text.index(f"{work} {caution}")
        assert place > 0
    assert text.index("Isolate the battery") < text.index("1 Prepare")


def test_twisted_strands_are_seen_from_the_root_wherever_the_author_began_to_measure(lapwing):
    """The bulkhead, where most of the engine's wires end."""
    runs = sorted(lapwing.vehicle.runs, key=lambda run: run.from_point == "bulkhead-engine")
    turned = replace(lapwing, vehicle=replace(lapwing.vehicle, runs=tuple(runs)))
    chapters = chapters_of(helper_pack("engine"), turned, undrawn(turned))
    text = words_of(turned, chapters, chapters[2])
    assert "clockwise from the top, seen from where the line begins." in text
    assert "Trunk: bulkhead-engine (0) – E1 (380)" in text
    assert "datum, from which the board is marked, is bulkhead-engine." not in text


def test_no_page_is_referred_to_that_the_pack_does_not_have(lapwing):
    chapters = chapters_of(helper_pack("bumper"), lapwing, undrawn(lapwing))
    for chapter in chapters[1:3]:
        assert "0–0" not in words_of(lapwing, chapters, chapter).replace("face 0–0", "")


def test_what_is_gathered_for_a_small_harness_and_its_weights_stand_on_one_page(lapwing):
    """Eleven wires: nothing of what is laid ready is looked for over the leaf."""
    chapters = chapters_of(helper_pack("bumper"), lapwing, undrawn(lapwing))
    place = next(n for n, c in enumerate(chapters) if c.template == "harness.html")
    vehicle = lapwing.vehicle.description.vehicle
    text = chapter_html(
        chapters[place],
        place,
        chapters,
        vehicle,
        PageMap(first_pages(chapters)),
        lapwing.vehicle.supply,
    )
    set_ = render(Job("bumper", text, {}))
    assert [set_.anchors[f"step-bumper-{step}"][0] for step in ("gather", "weigh")] == [0, 0]


def run(*words: str):
    return CliRunner().invoke(main, [str(word) for word in words])


def test_make_prints_a_helpers_pack_of_the_harness_named(tmp_path):
    ended = run("make", TWO_WIRE, "--edition", "helper", "--harness", "main", "--out", tmp_path)
    assert ended.exit_code == 0, ended.output
    (made,) = tmp_path.iterdir()
    assert made.name == "two-wire-trailer-helper-main.pdf"
    assert "Helper's pack: Trailer harness" in PdfReader(made).pages[0].extract_text()


def test_make_prints_full_size_sheets_on_the_paper_named(tmp_path):
    ended = run("make", TWO_WIRE, "--full-size", "all", "--paper", "A3", "--out", tmp_path)
    assert ended.exit_code == 0, ended.output
    page = PdfReader(tmp_path / "two-wire-trailer-full-size-all.pdf").pages[0]
    size = sorted((float(page.mediabox.width), float(page.mediabox.height)))
    assert size == pytest.approx([297 * 72 / 25.4, 420 * 72 / 25.4], abs=0.5)


@pytest.mark.parametrize(
    "words",
    [
        ("--edition", "helper"),
        ("--edition", "helper", "--harness", "nix"),
        ("--harness", "main"),
        ("--full-size", "nix"),
    ],
)
def test_a_harness_that_is_not_there_is_wrong_usage(tmp_path, words):
    ended = run("make", TWO_WIRE, *words, "--out", tmp_path / "out")
    assert ended.exit_code == 2
    assert not (tmp_path / "out").exists()
