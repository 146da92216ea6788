"""The trackside pages: A5, at most 16, one page to begin at, openings that explain themselves."""

from __future__ import annotations

import re
from math import hypot

import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest
from pypdf import PdfReader

from buildbook.book.chapters.trackside import panel_face
from buildbook.book.chapters.troubleshooting import grouped
from buildbook.book.editions import TRACKSIDE
from buildbook.book.fault_trees import merge_alike, tree_of
from buildbook.book.make import make_book
from buildbook.drawing.faces.panel import panel
from buildbook.pipeline import quiet
from tests.book_of import texts_of
from tests.once import undrawn

A5_PT = (419.53, 595.28)
"""148 x 210 mm, ISO 216."""
LEAST_PT = 8.0


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


def test_they_fit_16_pages_of_a5(printed):
    pages = pdfium.PdfDocument(printed)
    assert 0 < len(pages) <= 16
    for page in pages:
        assert page.get_size() == pytest.approx(A5_PT, abs=0.5)


def letters_on_pictures(path) -> list[tuple[int, str]]:
    """Letters that stand on one of the small pictures, which hold digits alone, with their page."""
    found = []
    for number, page in enumerate(pdfium.PdfDocument(path), start=1):
        forms = [o for o in page.get_objects(max_depth=1) if o.type == raw.FPDF_PAGEOBJ_FORM]
        boxes, text = [form.get_bounds() for form in forms], page.get_textpage()
        for n in range(text.count_chars()):
            letter = chr(raw.FPDFText_GetUnicode(text, n))
            if letter.isalpha():
                left, low, right, high = text.get_charbox(n)
                at = (left + right) / 2, (low + high) / 2
                found += [
                    (number, letter) for a, b, c, d in boxes if a < at[0] < c and b < at[1] < d
                ]
    return found


def test_no_word_stands_on_a_picture(printed):
    assert not letters_on_pictures(printed)


def test_no_lettering_is_under_8_points(printed):
    seen = sizes_pt(printed)
    assert len(seen) > 10_000
    assert not [(size, text) for size, text in seen if size < LEAST_PT - 0.01][:10]


def test_the_first_page_has_at_most_thirty_entries_and_each_leads_to_a_page(lapwing, printed):
    entries = lapwing.faultfinding.entries
    first = PdfReader(printed).pages[0]
    text = first.extract_text()
    assert 10 <= len(entries) <= 30
    for entry in entries:
        assert entry.name[1:] in text
    links = [a.get_object() for a in first["/Annots"]]
    assert len(links) >= 2 * len(entries)
    assert "0–0" not in text


def test_the_two_most_wanted_are_among_the_entries(lapwing):
    names = {entry.name for entry in lapwing.faultfinding.entries}
    assert {"cranks but does not fire", "one lamp dim"} <= names


def opening_of(text: str, number: int, name: str) -> str:
    """What stands in an opening, from its heading to the next."""
    said = f"{number} {name[:1].upper()}{name[1:]}"
    start = re.search(rf"{re.escape(said)} (CAUTION|Set:)", text).start()
    next_one = rf" {number + 1} \S[^.]{{3,60}}? (CAUTION|Set:)|A fuse blows again when"
    following = re.search(next_one, text[start:])
    return text[start : start + following.start()]


def test_every_code_of_an_opening_has_its_title_there(lapwing, texts):
    """Nobody looks up what K8 is with rain on the paper."""
    text = " ".join(" ".join(texts[1:]).split())
    devices = lapwing.vehicle.devices
    for number, entry in enumerate(lapwing.faultfinding.entries, 1):
        said = opening_of(text, number, entry.name)
        codes = {*re.findall(r"\b(?:MF|F|K|X|G)\d+\b", said)} & devices.keys()
        assert codes
        for code in codes:
            assert devices[code].title in said, (entry.name, code)


def test_questions_say_where_which_wire_and_what_is_well(lapwing, texts):
    text = " ".join(" ".join(texts).split())
    fire = next(
        n for n, e in enumerate(lapwing.faultfinding.entries, 1) if e.name.startswith("cranks but")
    )
    said = opening_of(text, fire, "cranks but does not fire")
    assert re.search(r"Probe on relay K3 \(Fuel pump relay\), foot 87, wire \w+ \w+", said)
    assert re.search(r"1[12]\.\d V \(as it should\)", said)
    assert "today:" in said and "at home:" in said


def test_what_is_bolted_is_probed_at_its_nut(lapwing, texts):
    """A solenoid has no relay's foot, and a bolted fuse no blades."""
    text = " ".join(" ".join(texts).split())
    assert "Probe on starter-solenoid (Starter solenoid), nut 87" in text
    assert "Probe on fuse MF2 (Panel feed), its own tag at nut in" in text
    assert "relay starter-solenoid" not in text and "fuse MF2 (Panel feed), top" not in text


def test_the_panel_has_as_many_slots_side_by_side_as_in_the_book(lapwing):
    for device in lapwing.vehicle.all_of("panel"):
        face = panel_face(lapwing, device)
        at = re.findall(r'x="([\d.]+)" y="[\d.]+">F\d+, slot', panel(lapwing, device).svg)
        across = len(dict.fromkeys(at))
        assert across == face.columns == len(face.rows[0])


def test_spares_of_every_rating_on_the_car_are_to_be_carried(lapwing, texts):
    text = " ".join(" ".join(texts).split())
    start = text.index("Spares to carry")
    spares = text[start : text.index("1 Everything dead", start)]
    for name, fuse in lapwing.sizing.fuses.items():
        assert f"{fuse.rating_a:g} A" in spares
        assert re.search(rf"\b{name}\b", spares)


def test_cautions_of_every_kind_stand_in_them(texts):
    text = " ".join(texts)
    for word in ("Fuel", "Cranking", "Hot", "Lifting", "Battery", "Moving"):
        assert f"{word}." in text


def test_a_burning_battery_cable_has_its_own_fire_warning(texts):
    text = " ".join(" ".join(texts).split())
    after = text[text.index("A cable smokes, and no fuse stops it") :]
    assert "FIRE: no fuse stops this" in after[:400]


def test_hot_joints_name_the_hottest_and_where_the_rest_stand(texts):
    """The pocket says what a hand does, and where to read on."""
    text = " ".join(" ".join(texts).split())
    after = text[text.rindex("Smoke, smell, or a hot joint") :][:1500]
    assert "hold the back of a hand near" in after
    assert "alternator.B+" in after[: after.index("Joints that make less heat")]
    assert "in the book, chapter Troubleshooting" in after


def test_each_entry_has_its_places_to_wiggle_and_what_to_watch(lapwing, texts):
    text = " ".join(" ".join(texts).split())
    said = text[text.rindex("Comes and goes: where to wiggle") :]
    for entry in lapwing.faultfinding.entries:
        assert f"{entry.name[1:]}" in said
    # What turns with the wheel is worked every time it is turned.
    horn = said[said.index("Horn dead") :][:400]
    assert "watch" in horn and "moving" in horn


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
