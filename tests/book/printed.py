"""A harness's printed sheets, read back from the PDF: tables by where their words stand."""

from __future__ import annotations

import re
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

LINE_PT = 2.5
"""Words whose tops are no farther apart stand on one line."""
MARGIN_PT = 36.0
"""Heading and foot of a page stand nearer to its edges."""
EASE_PT = 2.0
"""A word may stand so far to the left of its head."""
COLOUR = r"[A-Z]{2}(?:/[A-Z]{2})?"
SIZE = r"(?:AWG \d+(?:/\d)?|[\d.]+ mm²)"
WIRE = r"\d+[a-z]*"


@dataclass(frozen=True)
class Word:
    page: int
    x: float
    y: float
    right: float
    text: str


Line = tuple[Word, ...]


def lines_of(pdf: Path) -> list[Line]:
    """Every line of every page, words from left to right."""
    told = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, check=True)
    root = ET.fromstring(told.stdout)
    found: list[Line] = []
    pages = [element for element in root.iter() if element.tag.endswith("page")]
    for number, page in enumerate(pages):
        words = sorted(
            (
                Word(
                    number,
                    *(float(word.get(n)) for n in ("xMin", "yMin", "xMax")),
                    "".join(word.itertext()),
                )
                for word in page
                if MARGIN_PT < float(word.get("yMin")) < float(page.get("height")) - MARGIN_PT
            ),
            key=lambda word: (word.y, word.x),
        )
        line: list[Word] = []
        for word in words:
            if line and word.y - line[0].y > LINE_PT:
                found.append(tuple(sorted(line, key=lambda w: w.x)))
                line = []
            line.append(word)
        if line:
            found.append(tuple(sorted(line, key=lambda w: w.x)))
    return found


def text_of(line: Sequence[Word]) -> str:
    return " ".join(word.text for word in line)


def between(lines: list[Line], first: str, last: str) -> list[Line]:
    """The lines of a step: from its heading to the next step's."""
    texts = [text_of(line) for line in lines]
    start = next(n for n, text in enumerate(texts) if text == first)
    end = next(n for n, text in enumerate(texts) if n > start and text == last)
    return lines[start + 1 : end]


def table(lines: list[Line], heads: Sequence[str], key: str) -> Iterator[dict[str, str]]:
    """Rows of a table by its heads; a row begins where the column `key` has a word.

    A head may stand over two lines: `heads` are the first words of each, from left to right.
    """
    edges: list[float] = []
    row: dict[str, list[str]] = {}
    for line in lines:
        found = _heads(line, heads)
        if found:
            edges = found
            continue
        if not edges:
            continue
        cells: dict[str, list[str]] = {}
        for word in line:
            column = max((n for n, x in enumerate(edges) if x <= word.x + 1.0), default=0)
            cells.setdefault(heads[column], []).append(word.text)
        if key in cells:
            if row:
                yield {head: " ".join(words) for head, words in row.items()}
            row = cells
        elif row:
            for head, words in cells.items():
                row.setdefault(head, []).extend(words)
    if row:
        yield {head: " ".join(words) for head, words in row.items()}


def _heads(line: Line, heads: Sequence[str]) -> list[float]:
    """Left edges of the columns, where a line is the heads of the table."""
    wanted, edges = list(heads), []
    for word in line:
        if wanted and word.text == wanted[0].split()[0]:
            edges.append(word.x)
            wanted.pop(0)
    return edges if not wanted else []


BARE = r"(?:AWG \d+(?:/\d)?|[\d.]+)"
PINNED = re.compile(rf"(\S+) ({WIRE}) ({COLOUR}) ({BARE})(?= |$)")
PLUG = re.compile(r"^(\S+?)(?:: .*)?, at (\S+) housing")
OF_A_FACE = re.compile(r"^(?:(?:Seen from the|WIRE SIDE|MATING SIDE)(?: |$))+")
"""What stands over a connector's two views, beside its title."""
STUDS = "Terminals that are not in connectors"
AT = re.compile(r"^At (\S+): ")


@dataclass(frozen=True)
class Plug:
    """The ends of one connector, or of one device with studs."""

    name: str
    point: str
    has_cavities: bool
    ends: list[tuple[str, str, int]]
    """(cavity or pin, wire, page) in the order of the work."""


def plugs(lines: list[Line]) -> list[Plug]:
    """Every plug of the step in which ends are terminated, in the order of the work."""
    found: dict[str, Plug] = {}
    held = plug = point = ""
    edge = 0.0
    for line in lines:
        text = OF_A_FACE.sub("", text_of(line))
        held = f"{held} {text}".strip() if held else text
        heading = PLUG.match(held) or PLUG.match(text)
        if heading:
            plug, held = heading[1], ""
            found[plug] = Plug(plug, heading[2], True, [])
            continue
        held = text if ", at " in text or re.match(r"^\S+: ", text) else ""
        if text == STUDS:
            plug = STUDS
        if told := AT.match(text):
            point = told[1]
            edge = 0.0
        edge = next((word.x - EASE_PT for word in line if word.text == "Cavity"), edge)
        text = text_of([word for word in line if word.x > edge])
        for cavity, wire, _, _ in PINNED.findall(text) if plug else ():
            if plug == STUDS:
                device, _, pin = cavity.rpartition(".")
                stud = found.setdefault(device, Plug(device, point, False, []))
                stud.ends.append((pin, wire, line[0].page))
            else:
                found[plug].ends.append((cavity, wire, line[0].page))
    return list(found.values())


def pinned(lines: list[Line]) -> Iterator[tuple[str, str, str, int]]:
    """(plug, cavity, wire, page) of every end, plug by plug."""
    for plug in plugs(lines):
        for cavity, wire, page in plug.ends:
            yield plug.name, cavity, wire, page
