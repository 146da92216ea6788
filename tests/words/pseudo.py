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
from buildbook.pipeline import work_out
from buildbook.words import say as saying
from buildbook.words.catalogues import Catalogue
from tests.words.said import chapters_said, in_language_of

WIDE = 0xFEE0
"""From a letter to the same as wide as a square (Unicode, halfwidth and fullwidth forms)."""
HOLES = re.compile(r"\{[^{}]*\}|%\(\w+\)\w|%%|<[^>]*>|&\w+;|‹.*?›")
PHRASE = re.compile(r"[A-Za-z][A-Za-z'’]*[a-z](?:[ -]+[A-Za-z][A-Za-z'’]*)*|[A-Za-z]{2,}")
EVERYWHERE = {
    *("mm", "kcmil", "min", "Nm", "ft", "Hz", "kHz", "mV", "kV", "mA", "km", "ms", "rpm", "EUR"),
    *("AWG", "ISO", "DIN", "IEC", "SAE", "MIL", "kPa", "bar", "kg", "AC", "DC"),
}
"""Units and names of standards: alike in every language."""
ENTRY = re.compile(r"[^\n]+")


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


def authors_words(folder: Path) -> str:
    """Everything that the author wrote, a line for each name: what is found there is the author's.

    Names that are made of the author's words, such as those of devices that are alike, are too.
    """
    files = (p for p in sorted(folder.rglob("*")) if p.suffix in (".yaml", ".csv", ".md"))
    written = [" ".join(path.read_text("utf-8").split()) for path in files]
    result, problems = work_out(folder)
    assert result is not None, problems
    vehicle, harness = result.vehicle, result.harness
    made = [*vehicle.circuits, *vehicle.states, *harness.connectors, *harness.wires]
    for device in vehicle.devices.values():
        made += [device.id, device.title, device.system, device.point]
        made += [word for pin in device.pins for word in (pin.id, pin.use)]
        made += [word for load in device.loads for word in (load.id, load.what)]
    parts = [key for need in result.needs for key in need.keys]
    return "\n".join((*written, *made, *parts, *colours()))


def said_past_catalogues(folder: Path) -> list[tuple[str, str, str, str]]:
    """Edition, chapter, words and the line in which they stand, of what no catalogue translates.

    What the author wrote in one piece is the author's.
    """
    found = {}
    with TemporaryDirectory() as place, everything_wide():
        wrote = authors_words(folder)
        copy = in_language_of(folder, Path(place) / folder.name)
        for edition, chapter, text in chapters_said(copy):
            for line in ENTRY.findall(text):
                for phrase in PHRASE.findall(line):
                    if phrase in EVERYWHERE or phrase in wrote:
                        continue
                    found.setdefault((phrase, line), (edition, chapter, phrase, line))
    return sorted(found.values())


if __name__ == "__main__":
    chosen = sys.argv[2] if len(sys.argv) > 2 else ""
    for edition, chapter, phrase, line in said_past_catalogues(Path(sys.argv[1])):
        if chosen in chapter:
            print(f"{edition:10} {chapter:24} {phrase!r} in: {line[:150]}")
