"""The phone edition in another language: its page holds the words, and its script says them."""

from __future__ import annotations

import re

import pytest

from buildbook.book.drawings import Drawings
from buildbook.phone.page import phone_page
from buildbook.phone.script_words import language_of, said_in, script_files
from buildbook.words.say import in_language
from tests.conftest import TESTS, result_of
from tests.words.said import in_language_of

SCRIPT = "".join(path.read_text("utf-8") for path in script_files())
CALLED = re.compile(r"(?<![\w.])(?:say|mixed|mark|sayIn)\(")


@pytest.fixture(scope="module")
def german(page, tmp_path_factory):
    """The motorcycle's phone edition in German, in the browser."""
    place = tmp_path_factory.mktemp("german")
    result = result_of(in_language_of(TESTS / "vehicles" / "motorcycle", place / "motorcycle"))
    target = place / "phone.html"
    target.write_text(phone_page(result, Drawings(result)), "utf-8")
    page.media()
    page.open(target)
    return page


def test_the_script_says_what_is_found_in_it():
    script = """say("one {n} " +
      "two", { n: 3 }); tell(say("three")); sayIn("here", "four"); essay("no"); a.say("no");"""
    assert [said[1:] for said in said_in(script)] == [
        ("", "one {n} two"),
        ("", "three"),
        ("here", "four"),
    ]


def test_every_call_of_the_script_says_words_that_the_page_can_hold():
    begun = {call.start() for call in CALLED.finditer(SCRIPT)}
    found = {at for at, _, _ in said_in(SCRIPT)}
    others = {SCRIPT[at : SCRIPT.index("\n", at)] for at in begun - found}
    allowed = re.compile(
        r"(?:say|mixed|mark|sayIn)\((?:message|context)|say\((?:KINDS|NONE|ASKED|note|known|letter)"
        r"|mixed\(ask\.other"
    )
    assert {call for call in others if not allowed.match(call)} == set()


def test_an_english_page_holds_no_words_beside_its_script():
    assert language_of(SCRIPT) == {"sign": ".", "words": {}}
    with in_language("de"):
        assert language_of(SCRIPT)["sign"] == ","
        assert language_of(SCRIPT)["words"]["Find"] == "Suchen"


def test_cards_and_finding_speak_german(german):
    german.go("#/wire/101")
    text = german.text()
    assert "Leitung 101" in text
    assert "rot (RD)" in text
    assert "12,7 V" in text
    german.go("#/find/rot%20gelb")
    assert "Streifen gelb" in german.text()


def test_a_reading_is_typed_with_a_comma_and_open_is_typed_in_german(german):
    assert german.run('typedValue("12,4")') == 12.4
    assert german.run('typedValue("offen")') == german.run('typedValue("open")') == 1e9
    assert german.run("figures(12.4)") == "12,4"


def test_a_question_puts_its_thing_where_german_has_it(german):
    asked = 'ASKED.look.words({ where: "X" }).map((p) => p.textContent || p).join("")'
    assert german.run(asked) == "Funktioniert X?"
