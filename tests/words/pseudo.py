"""A language for tests: the book says everything in wide letters, so that what it says past its
catalogues stands out where no author wrote it.

python -m tests.words.pseudo VEHICLE [PART-OF-A-CHAPTER'S-NAME]   prints what it says past them
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest.mock import patch

from buildbook.catalogue.load import colours
from buildbook.checks.registry import RULES
from buildbook.figures import squared
from buildbook.result import Result
from buildbook.words import say as saying
from buildbook.words.catalogues import Catalogue
from tests.conftest import result_of
from tests.words.said import chapters_of_result, in_language_of

WIDE = 0xFEE0
"""From a letter to the same as wide as a square (Unicode, halfwidth and fullwidth forms)."""
HOLES = re.compile(r"\{[^{}]*\}|%\(\w+\)\w|%%|<[^>]*>|&\w+;|‹.*?›")
PHRASE = re.compile(r"[A-Za-z][A-Za-z'’]*[a-z](?:[ -]+[A-Za-z][A-Za-z'’]*)*|[A-Za-z]{2,}")
EVERYWHERE = {
    *("mm", "kcmil", "min", "Nm", "ft", "Hz", "kHz", "mV", "kV", "mA", "km", "ms", "EUR"),
    *("AWG", "ISO", "DIN", "IEC", "SAE", "MIL", "kPa", "bar", "kg", "AC", "DC"),
}
"""Units and names of standards: alike in every language."""
MARKS = re.compile(r"[*>`]")
"""Of an author's Markdown, which the book does not print."""
ENTRY = re.compile(r"[^\n]+")
WIDE_LETTER = "fullwidth latin"
"""In what a rule finds of a letter that is in no typeface: ours are in none."""


class _Words(dict[tuple[str, str], str]):
    def get(self, key, default=None):
        return wide(key[1])


class _Plurals(dict[tuple[str, str], tuple[str, ...]]):
    def get(self, key, default=None):
        return (wide(key[1]), wide(key[1]))


def wide(message: str) -> str:
    """A message in wide letters; its holes, tags and entities stay."""
    parts, at = [], 0
    for hole in HOLES.finditer(message):
        parts += [_widened(message[at : hole.start()]), hole[0]]
        at = hole.end()
    return "".join((*parts, _widened(message[at:])))


def _widened(text: str) -> str:
    return "".join(chr(ord(c) + WIDE) if c.isascii() and c.isalpha() else c for c in text)


@contextmanager
def everything_wide() -> Iterator[None]:
    """Within the block every language but English says everything in wide letters."""
    made = Catalogue(_Words(), _Plurals(), ",", lambda n: int(n != 1))
    with patch.object(saying, "catalogue_of", lambda _code: made):
        yield


class Author:
    """What the author wrote, and what is called by names that are made of it.

    Devices that are alike have such names, and so have sections of the rope.
    """

    def __init__(self, folder: Path, result: Result) -> None:
        files = (p for p in sorted(folder.rglob("*")) if p.suffix in (".yaml", ".csv", ".md"))
        written = [" ".join(MARKS.sub("", p.read_text("utf-8")).split()) for p in files]
        names = {*EVERYWHERE, *_names_of(result)}
        self._text = "\n".join((*written, *names))
        self._names = {piece for name in names for piece in (name, *PHRASE.findall(name))}

    def wrote(self, phrase: str) -> bool:
        """Whether a phrase is the author's in one piece, or one name after another.

        A name may have a letter beside it, as the columns of a table and the places on it do.
        """
        phrase = phrase.strip("'’")
        return phrase in self._text or self._in_names(re.split(r"(?<=[ -])|(?=[ -])", phrase))

    def _in_names(self, pieces: list[str]) -> bool:
        ends = {0}
        for end in range(1, len(pieces) + 1):
            if any(self._is_name("".join(pieces[begin:end]).strip()) for begin in ends):
                ends.add(end)
        return len(pieces) in ends

    def _is_name(self, words: str) -> bool:
        return words in self._names or words in ("", "-") or (len(words) == 1 and words.isupper())


def _names_of(result: Result) -> Iterator[str]:
    """Names of everything in a vehicle, of the rules, and codes of colours."""
    vehicle, harness = result.vehicle, result.harness
    yield from (*vehicle.circuits, *vehicle.states, *harness.connectors, *harness.wires)
    description = vehicle.description
    yield from (*description.cables, *(squared(part.what) for part in description.parts.values()))
    headed = (*description.symptoms, *(description.plan.walls if description.plan else ()))
    yield from (name[:1].upper() + name[1:] for name in headed)
    for device in vehicle.devices.values():
        yield from (device.id, device.title, device.system, device.point)
        yield from (word for pin in device.pins for word in (pin.id, pin.name, pin.use))
        yield from (word for load in device.loads for word in (load.id, load.what))
        yield from (contact.id for contact in device.contacts)
    for run in vehicle.runs:
        yield from (run.id, run.from_point, run.to_point)
    yield from (need.key for need in result.bill.needs)
    yield from (rule.id for rule in RULES)
    yield from colours()


def said_past_catalogues(folder: Path) -> list[tuple[str, str, str, str]]:
    """Edition, chapter, words and the line in which they stand, of what no catalogue translates."""
    found = {}
    with TemporaryDirectory() as place, everything_wide():
        copy = in_language_of(folder, Path(place) / folder.name)
        result = result_of(copy)
        author = Author(folder, result)
        for edition, chapter, text in chapters_of_result(result):
            for line in ENTRY.findall(text):
                if WIDE_LETTER in line:
                    continue
                for phrase in PHRASE.findall(line):
                    if author.wrote(phrase) or phrase in chapter:
                        continue
                    found.setdefault((phrase, line), (edition, chapter, phrase, line))
    return sorted(found.values())


if __name__ == "__main__":
    chosen = sys.argv[2] if len(sys.argv) > 2 else ""
    for edition, chapter, phrase, line in said_past_catalogues(Path(sys.argv[1])):
        if chosen in chapter:
            print(f"{edition:10} {chapter:24} {phrase!r} in: {line[:150]}")
