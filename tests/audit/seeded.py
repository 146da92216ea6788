"""Discrepancies put into the words of a book's pages, as a slip of the pen or a lost line would."""

from __future__ import annotations

import random
import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from buildbook.audit.audit import rows_of_edition
from buildbook.audit.model import Kind, Page, Word
from buildbook.audit.read_tables import EDGE_PT, bare, rows_of
from buildbook.result import Result

COLOURS = ("RD", "BK", "BU", "GN", "YE", "WH", "BN", "VT", "OG", "GY", "PK")
COLOUR = re.compile(rf"^({'|'.join(COLOURS)})(?:/({'|'.join(COLOURS)}))?$")
NUMBERED = re.compile(r"\d")


@dataclass(frozen=True)
class Seed:
    """A discrepancy: its sort, the page it is on, and the pages with it."""

    sort: str
    page: int
    said: str
    pages: tuple[Page, ...]


def table_lines(pages: Sequence[Page], result: Result) -> dict[int, list[tuple[int, str]]]:
    """Page -> (line, kind) of the lines on which rows of compared tables begin."""
    wanted = rows_of_edition(result, "whole", "")
    kinds = tuple(wanted)
    found: dict[int, list[tuple[int, str]]] = defaultdict(list)
    for page in pages:
        for kind, row in rows_of(page, kinds):
            found[page.number].append((row.line, kind.name))
    return found


def left_of_table(page: Page, line: int, name: str, kinds: Iterable[Kind]) -> float:
    """Where the table of a row begins: what is printed left of it is a picture beside it."""
    head = bare(next(kind.heads[0] for kind in kinds if kind.name == name))
    above = (word for one in reversed(page.lines[: line - 1]) for word in one)
    return next(word.x for word in above if len(word.text) > 1 and head.endswith(bare(word.text)))


def with_line(
    pages: Sequence[Page], number: int, line: int, words: Sequence[tuple[Word, ...]]
) -> tuple[Page, ...]:
    """The pages with a line of one of them in other words, or in none, or twice."""
    page = pages[number - 1]
    lines = (*page.lines[: line - 1], *words, *page.lines[line:])
    return (*pages[: number - 1], replace(page, lines=lines), *pages[number:])


def seeds(pages: Sequence[Page], result: Result, count: int, seed: int) -> list[Seed]:
    """So many discrepancies, of five sorts in turn, in rows taken by chance."""
    chance = random.Random(seed)
    kinds = tuple(rows_of_edition(result, "whole", ""))
    places = [
        (page, line, kind)
        for page, lines in table_lines(pages, result).items()
        for line, kind in lines
    ]
    made: list[Seed] = []
    sorts = (digit, colour, swapped, missing, doubled)
    while len(made) < count:
        page, line, kind = chance.choice(places)
        whole = pages[page - 1].lines[line - 1]
        left = left_of_table(pages[page - 1], line, kind, kinds)
        beside = tuple(word for word in whole if word.x < left - EDGE_PT)
        words = whole[len(beside) :]
        changed = sorts[len(made) % len(sorts)](words, chance)
        if changed is not None:
            changed = [beside + one for one in changed]
            sort = sorts[len(made) % len(sorts)].__name__
            said = f"{kind}: {' | '.join(w.text for w in words)}"
            made.append(Seed(sort, page, said, with_line(pages, page, line, changed)))
    return made


Words = tuple[Word, ...]
Change = Callable[[Words, random.Random], Sequence[Words] | None]


def _replaced(words: Words, at: int, text: str) -> list[Words]:
    return [(*words[:at], replace(words[at], text=text), *words[at + 1 :])]


def digit(words: Words, chance: random.Random) -> Sequence[Words] | None:
    """One digit of a word is another."""
    at = [n for n, word in enumerate(words) if NUMBERED.search(word.text)]
    if not at:
        return None
    n = chance.choice(at)
    text = words[n].text
    place = chance.choice([m.start() for m in NUMBERED.finditer(text)])
    other = chance.choice([d for d in "0123456789" if d != text[place]])
    return _replaced(words, n, text[:place] + other + text[place + 1 :])


def colour(words: Words, chance: random.Random) -> Sequence[Words] | None:
    """A colour is another."""
    at = [n for n, word in enumerate(words) if COLOUR.match(word.text)]
    if not at:
        return None
    n = chance.choice(at)
    first, _, tracer = words[n].text.partition("/")
    other = chance.choice([c for c in COLOURS if c != first])
    return _replaced(words, n, f"{other}/{tracer}" if tracer else other)


def swapped(words: Words, chance: random.Random) -> Sequence[Words] | None:
    """Two words of a row change places: the pins that a wire goes from and to, two readings."""
    at = [n for n, word in enumerate(words) if len(word.text) > 1]
    pairs = [(a, b) for a in at for b in at if a < b and words[a].text != words[b].text]
    if not pairs:
        return None
    a, b = chance.choice(pairs)
    one, other = words[a].text, words[b].text
    return _replaced(_replaced(words, a, other)[0], b, one)


def missing(words: Words, chance: random.Random) -> Sequence[Words] | None:
    """The line is lost."""
    return []


def doubled(words: Words, chance: random.Random) -> Sequence[Words] | None:
    """The line is there twice."""
    return [words, words]
