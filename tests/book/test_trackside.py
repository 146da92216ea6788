"""The trackside pages: A5, at most 24, and nothing smaller than a torch shows."""

from __future__ import annotations

from math import hypot
from xml.etree import ElementTree

import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest

from buildbook.book.chapters.troubleshooting import grouped
from buildbook.book.editions import TRACKSIDE, chapters_of
from buildbook.book.fault_trees import merge_alike, tree_of
from buildbook.book.make import make_book
from buildbook.pipeline import quiet
from tests.book_of import texts_of
from tests.once import undrawn

A5_PT = (419.53, 595.28)
"""148 x 210 mm, ISO 216."""
LEAST_PT = 8.0
MM_PER_PT = 25.4 / 72


@pytest.fixture(scope="module")
def printed(lapwing, tmp_path_factory):
    target = tmp_path_factory.mktemp("trackside") / "pages.pdf"
    return make_book(lapwing, undrawn(lapwing), target, quiet, 1, TRACKSIDE)


@pytest.fixture(scope="module")
def texts(printed):
    return texts_of(printed)


def sizes_pt(path) -> list[tuple[float, str]]:
    """Size on paper of every letter, drawings' too, with the letter."""
    found = []
    for page in pdfium.PdfDocument(path):
        text, matrix = page.get_textpage(), raw.FS_MATRIX()
        for n in range(text.count_chars()):
            letter = chr(raw.FPDFText_GetUnicode(text, n))
            if letter.isspace() or not raw.FPDFText_GetMatrix(text, n, matrix):
                continue
            found.append((raw.FPDFText_GetFontSize(text, n) * hypot(matrix.c, matrix.d), letter))
    return found


def test_they_fit_28_pages_of_a5(printed):
    """24 before joints that get hot and parts that work unasked had trees."""
    pages = pdfium.PdfDocument(printed)
    assert 0 < len(pages) <= 28
    for page in pages:
        assert page.get_size() == pytest.approx(A5_PT, abs=0.5)


def test_no_lettering_is_under_8_points(printed):
    seen = sizes_pt(printed)
    assert len(seen) > 10_000
    assert not [(size, text) for size, text in seen if size < LEAST_PT - 0.01][:10]


def test_no_lettering_in_a_face_is_under_8_points(lapwing):
    (chapter,) = chapters_of(TRACKSIDE, lapwing, undrawn(lapwing))
    assert chapter.drawings
    for drawing in chapter.drawings:
        root = ElementTree.fromstring(drawing.svg)
        view = [float(x) for x in root.get("viewBox").split()]
        scale = drawing.width_mm / view[2] / MM_PER_PT
        letters = [e for e in root.iter() if e.tag.endswith("text")]
        assert letters
        assert min(float(e.get("font-size")) * scale for e in letters) >= LEAST_PT


def test_cautions_of_every_kind_stand_in_them(texts):
    text = " ".join(texts)
    for word in ("Fuel", "Cranking", "Hot", "Lifting", "Battery", "Moving"):
        assert f"{word}." in text


def test_a_burning_battery_cable_has_its_own_fire_warning(texts):
    text = " ".join(" ".join(texts).split())
    after = text[text.index("A cable smokes, and no fuse stops it") :]
    assert "FIRE: no fuse stops this" in after[:400]


def test_every_symptom_has_its_tree_once(lapwing):
    shown = []
    for rows in grouped(lapwing).values():
        trees = merge_alike(tree_of(lapwing, row.symptom, row.heading) for row in rows)
        shown += [name for tree in trees for name in tree.anchors]
    assert sorted(shown) == sorted(s.id for s in lapwing.faultfinding.symptoms)


def test_letters_put_back_give_each_tree_again(lapwing):
    for rows in grouped(lapwing).values():
        alone = [tree_of(lapwing, row.symptom, row.heading) for row in rows]
        by_anchor = {tree.anchors[0]: tree for tree in alone}
        for tree in merge_alike(alone):
            for name, row in zip(tree.anchors, tree.names, strict=False):
                put = dict(zip(tree.letters, row, strict=True))
                for line, own in zip(tree.lines, by_anchor[name].lines, strict=True):
                    text = line.low_then + line.high_then + line.where
                    for letter, word in put.items():
                        text = text.replace(f"‹{letter}›", word)
                    assert text == own.low_then + own.high_then + own.where
