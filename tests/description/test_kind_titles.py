"""A device without a name is what its kind is, in the book's language; a name stays as written."""

from __future__ import annotations

import pytest

from buildbook.book.chapters.readings import load_words
from buildbook.book.opening import place_words
from buildbook.description.expand.kinds import built_in
from buildbook.description.kind_titles import title_of_kind, titles
from buildbook.description.read import read_folder
from buildbook.description.tree import at
from buildbook.words.say import in_language
from tests.description.short import folder
from tests.words.said import chapters_of_result

LONGEST = 27
"""Letters of a title: a table's cell has room for two lines of fifteen."""
OUTSIDE = {
    # kind of the program: as a workshop calls it, in English and in German
    "heated exhaust probe": ("Wide-band probe", "Breitband-Lambdasonde"),
    "flasher": ("Flasher", "Blinkgeber"),
}


@pytest.fixture
def said(tmp_path):
    """What a device of a kind is, in a language."""

    def of(kind: str, kinds: str = "{}", code: str = "en") -> str:
        lines = f"circuits: {{}}\nkinds: {kinds}\ndevices: {{a: {{kind: {kind}, at: tail}}}}\n"
        contents, problems = read_folder(folder(tmp_path, lines))
        assert contents is not None, problems
        tree = contents.positions.tree
        base = contents.description.devices["a"].kind
        with in_language(code):
            return title_of_kind(at(at(tree, "devices"), "a"), base, at(tree, "kinds"))

    return of


@pytest.mark.parametrize("name", built_in())
def test_every_kind_has_a_short_title(name):
    assert 0 < len(titles()[name]) <= LONGEST and titles()[name][0].isupper()


@pytest.mark.parametrize(("name", "words"), OUTSIDE.items())
def test_a_kind_of_ours_is_told_in_the_books_language(said, name, words):
    own = "{mine: {kind: NAME, caution: hot}}".replace("NAME", name)
    assert (said("mine", own), said("mine", own, "de")) == words


def test_a_base_kind_is_told_by_its_own_word(said):
    assert (said("relay"), said("relay", code="de")) == ("Relay", "Relais")


@pytest.mark.parametrize("name", ["mine", "flasher", "relay"])
def test_what_the_author_says_of_a_kind_is_printed_as_written(said, name):
    own = f"{{{name}: {{kind: relay, about: the one with a blue lid}}}}"
    assert said(name, own, "de") == "the one with a blue lid"


def test_tables_say_what_a_device_is_where_it_has_no_name(starter):
    lamp = starter.vehicle.devices["work-lamp"]
    assert lamp.title == "work-lamp" and lamp.what_it_is == "Lamp, 21 W"
    assert load_words(starter, lamp.loads[0]).startswith("Lamp, 21 W: ")
    assert "work-lamp (Lamp, 21 W)" in place_words(starter, lamp.pins[0].id)


def test_a_name_is_kept_to_the_letter(motorcycle):
    named = [d for d in motorcycle.vehicle.devices.values() if d.written.name]
    assert named and all(d.what_it_is == d.written.name for d in named)


def test_no_table_says_a_devices_key_twice(starter):
    """Everything that the book prints of the fuel pump of the starter, which has no name."""
    lines = [
        line
        for edition, _, text in chapters_of_result(starter)
        if edition == "whole"
        for line in text.splitlines()
    ]
    after = [lines[n + 1] for n, line in enumerate(lines[:-1]) if line == "fuel-pump"]
    assert "Fuel pump" in after and "fuel-pump" not in after
