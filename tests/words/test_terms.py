"""One German word for one thing, and none that a reader may take for another."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from babel.messages.pofile import read_po

from tests.conftest import TESTS

CATALOGUES = sorted((TESTS.parent / "buildbook" / "words" / "de").glob("*.po"))
RETIRED = {
    r"\bAutors?\b": "Verfasser",
    r"\bBeil[aä]ufe?\b": "Füllschnur",
    r"\bChassis\b": "Karosserie",
    r"\bHaartrockner\b": "Föhn",
    r"\bMagnetgenerator\b": "Magnetzünder",
    r"\bVerdachte\b": "mögliche Ursachen",
    r"\bWiederstart\b": "Neustart",
    r"\bwackeln?\b": "rütteln",
    r"schwarzer Balken: (?!Führungsnut)": "Führungsnut",
    r"offener Balken: (?!Rastung)": "Rastung",
    r"Fuß \{terminal\}": "Sockel: what a relay stands in",
}
"""What catalogues said beside another word for the same thing, and that word."""
WEIGHS = re.compile(r"\bmass\b|\bweighs?\b", re.IGNORECASE)


def messages(path: Path) -> Iterator[tuple[str, str]]:
    """English and German of every message of a catalogue, forms of counts one after another."""
    with path.open("rb") as file:
        for message in read_po(file):
            forms = (message.id, message.string)
            if message.id:
                english, german = (f if isinstance(f, str) else " | ".join(f) for f in forms)
                yield english, german


@pytest.mark.parametrize("path", CATALOGUES, ids=lambda path: path.stem)
def test_one_thing_is_called_by_one_word(path):
    said = [german for _english, german in messages(path)]
    assert said
    assert [(old, text) for old in RETIRED for text in said if re.search(old, text)] == []


def test_weight_is_not_called_as_ground_is():
    """`Masse` is both in German."""
    pairs = [pair for path in CATALOGUES for pair in messages(path) if WEIGHS.search(pair[0])]
    assert len(pairs) > 2
    assert [german for _english, german in pairs if re.search(r"\bMassen?\b", german)] == []


def test_a_caution_in_short_begins_with_a_capital():
    """They follow each other as sentences."""
    blocks = (TESTS.parent / "templates" / "building_blocks.html").read_text("utf-8")
    (listed,) = re.findall(r"set in_short = (.*?)%\}", blocks, re.DOTALL)
    pairs = [pair for path in CATALOGUES for pair in messages(path)]
    cautions = [german for english, german in pairs if f'say("{english}")' in listed]
    assert len(cautions) > 5
    assert [german for german in cautions if not german[0].isupper()] == []
