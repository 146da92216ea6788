"""The words that the script says, found in it by its calls: the page holds them in its language."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from buildbook.book.resources import template_folder
from buildbook.words.say import in_figures, worded

SCRIPTS = (
    "phone.js",
    "phone_cards.js",
    "phone_find.js",
    "phone_sheets.js",
    "phone_fault.js",
    "phone_start.js",
)
"""Files of the one script, in order."""
STRING = r'"(?:[^"\\]|\\.)*"'
CALL = re.compile(
    rf"(?<![\w.])(say|mixed|mark|sayIn)\(\s*({STRING}(?:\s*\+\s*{STRING})*)(?:,\s*({STRING}))?"
)
CONTEXT_ENDS = "\u0004"
"""Between the context and the words of a message, as in gettext's compiled catalogues."""


def script_files() -> list[Path]:
    """The files of the script, in order."""
    return [template_folder() / name for name in SCRIPTS]


def said_in(script: str) -> Iterator[tuple[int, str, str]]:
    """Where a message is said in the script, its context and its words."""
    for call in CALL.finditer(script):
        strings = re.findall(STRING, call[2])
        words = "".join(json.loads(string) for string in strings)
        if call[1] == "sayIn":
            yield call.start(), words, json.loads(call[3])
        else:
            yield call.start(), "", words


def language_of(script: str) -> dict[str, Any]:
    """The decimal sign and, where they are others than the English ones, the words it says."""
    found = {}
    for _, context, message in said_in(script):
        words = worded(message, context)
        if words != message:
            found[f"{context}{CONTEXT_ENDS}{message}" if context else message] = words
    return {"sign": in_figures("."), "words": found}
