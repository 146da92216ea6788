"""Makes the phone edition: facts, drawings and script in one HTML file."""

from __future__ import annotations

import base64
import hashlib
import json
from pathlib import Path
from typing import Any

from markupsafe import Markup

from buildbook.book.dangers import caution_words
from buildbook.book.drawings import Drawings
from buildbook.book.templates import environment
from buildbook.files.writing import write_file
from buildbook.phone.cards import Cards
from buildbook.phone.fonts import font_rules
from buildbook.phone.lean import LeanSheets
from buildbook.phone.meter import MeterWords, states_shown
from buildbook.phone.questions import Questions
from buildbook.phone.script_words import language_of, script_files
from buildbook.result import Result
from buildbook.sizing.stage import in_its_language
from buildbook.words.say import mark, say

DRAWN = {
    "panels": mark("Fuse and relay panel"),
    "schematics": mark("Schematics"),
    "plan": mark("Where things are"),
    "grounds": mark("Grounds"),
    "faces": mark("Connector faces"),
}
"""Kinds of drawings that it holds, with what they are listed under."""


def make_phone(result: Result, drawings: Drawings, out: Path) -> Path:
    """Write the phone edition to `out`, whole or not at all; returns `out`.

    Raises OSError where `out` cannot be written.
    """
    write_file(out, phone_page(result, drawings).encode("utf-8"))
    return out


@in_its_language
def phone_page(result: Result, drawings: Drawings) -> str:
    """The whole file as text: the same for the same description."""
    script = "".join(path.read_text(encoding="utf-8") for path in script_files())
    digest = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    lean = LeanSheets()
    sheets = [(d.name, lean.svg(d)) for kind in DRAWN for d in drawings.all_of(kind)]
    return (
        environment()
        .get_template("phone.html")
        .render(
            sheets=sheets,
            looks=lean.styles,
            fonts=font_rules(lean.letters),
            vehicle=result.vehicle.description.vehicle,
            earthed=result.vehicle.supply,
            facts=in_script(facts_of(result, drawings)),
            spoken=in_script(language_of(script)),
            script=Markup(script),
            digest=digest,
        )
    )


def facts_of(result: Result, drawings: Drawings) -> dict[str, Any]:
    """All that the script reads."""
    meter = MeterWords()
    states = result.vehicle.description.states
    cards = Cards(result, meter).every()
    return {
        "states": [
            {"name": name, "about": state.about, "runs": state.engine > 0}
            for name, state in states.items()
        ],
        "first": states_shown(result),
        "systems": {id_: s.title for id_, s in result.vehicle.description.systems.items()},
        "cards": cards,
        "words": meter.words,
        "shown": meter.kinds,
        "dangers": caution_words(),
        "trees": Questions(result).table(),
        "sheets": sheet_rows(result, drawings),
    }


def sheet_rows(result: Result, drawings: Drawings) -> list[dict[str, str]]:
    """Name, title and group of every drawing; a face is called as its connector."""
    called = {
        d.name: c.id if c.title in ("", c.id) else f"{c.id}: {c.title}"
        for c in result.harness.connectors.values()
        for d in drawings.of("faces", c.id)
    }
    return [
        {"name": d.name, "title": called.get(d.name, d.title), "under": say(under)}
        for kind, under in DRAWN.items()
        for d in drawings.all_of(kind)
    ]


def in_script(facts: object) -> Markup:
    """Facts as JSON that no text in them can end or leave the script element with."""
    text = json.dumps(facts, ensure_ascii=False, separators=(",", ":"))
    for letter in "<>&\u2028\u2029":
        text = text.replace(letter, f"\\u{ord(letter):04x}")
    return Markup(text)
