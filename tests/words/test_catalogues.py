"""Another language says all that the book says, and each message with the holes that it has."""

from __future__ import annotations

import re

import pytest
from babel.messages.pofile import read_po

from buildbook.words.catalogues import FOLDER, LANGUAGES, catalogue_of
from buildbook.words.say import in_figures, in_language, say, say_n, unknown_words
from tests.words.messages import lacking, messages

OTHERS = [code for code in LANGUAGES if code != "en"]
HOLE = re.compile(r"\{[^{}]*\}|%\(\w+\)[sd]|<[^>]*>|‹.*?›")


@pytest.mark.parametrize("code", OTHERS)
def test_a_language_says_all_that_the_program_says(code):
    assert len(messages()) > 3000
    assert [f"{m.where} {m.text}" for m in lacking(code)] == []


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*/*.po")), ids=lambda path: path.name)
def test_a_translation_has_the_holes_and_tags_of_what_it_translates(path):
    with path.open("rb") as file:
        found = [message for message in read_po(file) if message.id]
    for message in found:
        ids = message.id if isinstance(message.id, tuple) else (message.id,)
        said = message.string if isinstance(message.string, tuple) else (message.string,)
        for translated in said:
            assert set(HOLE.findall(translated)) <= set(HOLE.findall(ids[-1])), translated
        wanted = set(HOLE.findall(ids[-1]))
        assert set().union(*(HOLE.findall(one) for one in said)) == wanted, ids


def test_words_and_numbers_are_said_in_the_language_of_now():
    with in_language("de"), unknown_words() as unknown:
        assert say_n("{n} clamp", "{n} clamps", 1) == "1 Schelle"
        assert say_n("{n} clamp", "{n} clamps", 3) == "3 Schellen"
        assert in_figures("0.75") == "0,75"
        assert say("said by nobody else: {x:.2f}", x=1.5) == "said by nobody else: 1,50"
    assert unknown == {"said by nobody else: {x:.2f}"}
    assert say_n("{n} clamp", "{n} clamps", 3) == "3 clamps"


def test_a_catalogue_is_read_once():
    assert catalogue_of("de") is catalogue_of("de")
