"""Names that look the same, and characters that the book cannot print."""

from __future__ import annotations

from dataclasses import replace

from buildbook.checks.rules import character_missing, names_alike
from tests.checks import minimal as m
from tests.checks.bench import about


def named(*circuits):
    written = m.description(circuits={name: {"join": ["a.1", "b.1"]} for name in circuits})
    return m.assessed(replace(m.vehicle(), description=written), m.harness(()))


def test_a_cyrillic_letter_in_a_latin_name_is_found():
    assert about(names_alike, named("PUMP", "\u0420UMP")) == ["\u0420UMP"]
    assert about(names_alike, named("Il1", "ll1")) == ["ll1"]


def test_names_that_differ_to_the_eye_are_not():
    assert about(names_alike, named("PUMP", "pump", "PUMP 1", "насос")) == []


def test_a_character_that_the_typeface_lacks_is_named_once():
    found = list(character_missing.check(named("\u6f22 feed", "\u6f22 return", "Ω α Ж é – ²")))
    assert [f.about for f in found] == ["\u6f22 feed"]
    assert "U+6F22 (cjk unified ideograph-6f22)" in found[0].text


def test_latin_greek_and_cyrillic_are_printed_as_they_are():
    letters = "Łódź ÄÖÜß çñø ΑΒΓΔΕΖαβγδεζ АБВГДЕЖабвгдеж Ђћ €№™"
    assert about(character_missing, named(letters)) == []
