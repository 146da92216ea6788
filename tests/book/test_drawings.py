"""An edition draws what its chapters print: each drawing once, and none that it leaves out."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from html import unescape

import pytest

from buildbook.book.drawings import Drawings
from buildbook.book.editions import EDITIONS, HELPER, Edition, chapters_of, helper_pack
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from buildbook.drawing.registry import KINDS
from buildbook.result import Result

HARNESS = "bumper"


def edition_of(name: str) -> Edition:
    return helper_pack(HARNESS) if EDITIONS[name] is HELPER else EDITIONS[name]


def counted(result: Result) -> tuple[Drawings, Counter[str]]:
    """Drawings that count how often each kind is drawn, and for each of what."""
    calls: Counter[str] = Counter()

    class Counted(Mapping):
        def __init__(self, kind, sheets):
            self.kind, self.sheets = kind, sheets

        def __getitem__(self, subject):
            calls[f"{self.kind} of {subject}"] += 1
            return self.sheets[subject]

        def __contains__(self, subject):
            return subject in self.sheets

        def __iter__(self):
            return iter(self.sheets)

        def __len__(self):
            return len(self.sheets)

    def watched(kind):
        def draw(result):
            calls[kind.name] += 1
            return Counted(kind.name, kind.draw(result))

        return replace(kind, draw=draw)

    return Drawings(result, [watched(kind) for kind in KINDS]), calls


def test_the_order_pack_draws_the_costs_alone(lapwing):
    drawings, calls = counted(lapwing)
    chapters_of(EDITIONS["order"], lapwing, drawings)
    assert {key.partition(" of ")[0] for key in calls} == {"cost"}


def test_a_helpers_pack_draws_one_harness(lapwing):
    drawings, calls = counted(lapwing)
    chapters_of(helper_pack(HARNESS), lapwing, drawings)
    assert calls["schematics"] == 0
    drawn = {key for key in calls if key.startswith(("layouts of", "sections of", "lay-ups of"))}
    assert drawn and {key.partition(" of ")[2] for key in drawn} == {HARNESS}
    plugs = {
        end.connector
        for wire in lapwing.harness.wires.values()
        for end in (wire.a, wire.b)
        if wire.harness == HARNESS and end.connector
    }
    assert {key.partition(" of ")[2] for key in calls if key.startswith("faces of")} == plugs


def test_book_workings_and_orders_ask_for_every_kind_and_draw_it_once(motorcycle):
    drawings, calls = counted(motorcycle)
    chapters_of(EDITIONS["whole"], motorcycle, drawings)
    assert calls["drops"] == calls["masses"] == 0, "an auditor's"
    assert calls["cost"] == 0, "whoever orders asks for it"
    chapters_of(EDITIONS["workings"], motorcycle, drawings)
    chapters_of(EDITIONS["order"], motorcycle, drawings)
    assert calls["drilling"] == 0, "it has no plan, and so no walls"
    others = {kind.name for kind in KINDS} - {"drilling"}
    assert {name: calls[name] for name in others} == {name: 1 for name in others}


@pytest.mark.parametrize("name", sorted(EDITIONS))
@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle"])
def test_an_edition_holds_every_drawing_that_its_pages_show(vehicle, name, request):
    result = request.getfixturevalue(vehicle)
    edition = edition_of(name)
    if edition.name.startswith("helper"):
        edition = helper_pack(next(iter(result.vehicle.description.rope)))
    drawings = Drawings(result)
    chapters = chapters_of(edition, result, drawings)
    shown: set[str] = set()
    for place, chapter in enumerate(chapters):
        pages = PageMap(absent=edition.absent)
        html = chapter_html(
            chapter,
            place,
            chapters,
            result.vehicle.description.vehicle,
            pages,
            result.vehicle.supply,
        )
        pictures = {unescape(found) for found in re.findall(r'src="drawing:([^"]+)"', html)}
        assert pictures == {drawing.name for drawing in chapter.drawings}, chapter.name
        shown |= pictures
    assert {d.name for d in drawings.asked()} <= shown
    if edition.name == "":
        named = {ref.sheet for c in chapters for d in c.drawings for ref in d.references}
        assert named and named <= shown


def test_a_kind_that_does_not_exist_is_refused(two_wire):
    with pytest.raises(KeyError):
        Drawings(two_wire).of("schematic")


def test_the_names_of_all_drawings_of_a_vehicle_differ(lapwing):
    names = [drawing.name for drawing in Drawings(lapwing).every()]
    assert len(names) == len(set(names))
