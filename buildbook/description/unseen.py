"""Characters that are not text: nobody sees them, or they change what others look like."""

from __future__ import annotations

import re
import unicodedata

UNSEEN = (
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f"  # XML 1.0, section 2.2, has no place for them
    "\xad\u034f\u0600-\u0605\u061c\u06dd\u070f\u115f\u1160\u17b4\u17b5\u180e"
    "\u200b-\u200f\u2028-\u202e\u2060-\u206f\u3164\ufeff\uffa0\ufff9-\ufffb"
    "\ud800-\udfff\ue000-\uf8ff\ufdd0-\ufdef\ufffe\uffff"
    "\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U0010ffff"
)
"""Control and format characters (Unicode categories Cc, Cf, Zl, Zp), fillers, halves of pairs,
private use and tags: what is in no typeface, and what turns the order of reading."""

NOT_TEXT = re.compile(f"[{UNSEEN}]")
NOT_NAME = re.compile(f"[{UNSEEN}\n\r\t\ufe00-\ufe0f]")
"""A name stands in one line, and two names that differ differ to the eye."""

MARK = re.compile("[\u0300-\u036f]")
"""Accents that stand over, or under, the letter before them."""

WHY = "it is not seen, and can make other text read as what it is not"
HINT = "take it out; where it was pasted in, type the text anew"


def called(character: str) -> str:
    """'the character U+202E (right-to-left override)'."""
    name = unicodedata.name(character, "") or CONTROLS.get(character, "")
    sort = "control character" if unicodedata.category(character) == "Cc" else "character"
    return f"the {sort} U+{ord(character):04X}" + (f" ({name.lower()})" if name else "")


CONTROLS = {"\0": "nul", "\n": "line end", "\r": "carriage return", "\t": "tab", "\x1b": "escape"}


def composed(text: str) -> str:
    """Text in Unicode's form C, so that an accented letter is the same however it was typed."""
    return unicodedata.normalize("NFC", text)


def unseen_in(text: str, pattern: re.Pattern[str] = NOT_TEXT) -> re.Match[str] | None:
    """The first character that is not text, or an accent over its like: they print as one."""
    marks = MARK.finditer(text)
    twice = (
        m for m in marks if _taken_apart(text[max(0, m.start() - 1) : m.start()]).endswith(m[0])
    )
    found = [one for one in (pattern.search(text), next(twice, None)) if one]
    return min(found, key=lambda one: one.start(), default=None)


def _taken_apart(letter: str) -> str:
    """A letter and its accents, each a character."""
    return unicodedata.normalize("NFD", letter)


def one_line(text: str) -> str:
    """The text of a name as it is; ValueError where it has more lines, or what nobody sees."""
    if found := unseen_in(text, NOT_NAME):
        raise ValueError(f"{called(found[0])} stands in this name; {HINT}")
    return text
