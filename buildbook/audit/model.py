"""What is read off the pages, what the model says should stand there, and where they differ."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Word:
    """A word of a page, or several with no more than spaces between; points from the left, top."""

    x: float
    right: float
    y: float
    text: str


Line = tuple[Word, ...]
"""Words of one height, from left to right."""


@dataclass(frozen=True)
class Page:
    """A page as it is read: its number in the file, from 1, and its lines from the top."""

    number: int
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Kind:
    """A sort of table: what stands over its columns tells it from the others."""

    name: str
    heads: tuple[str, ...]
    key: int
    """Column that names what a row is about."""
    right: frozenset[int] = frozenset()
    """Columns whose text ends at one edge, and does not begin at one."""
    key_like: str = ".+"
    """What the key looks like, as a pattern: running text below a table is no row."""
    unbroken: frozenset[int] = frozenset()
    """Columns that have one line, and tell a row whose key is so long that it stands below."""
    ticked: frozenset[int] = frozenset({0})
    """Columns that may have a box to tick before what they say."""
    next_title: re.Pattern[str] | None = None
    """What a title looks like that ends a table beside a picture, left of it."""
    least: int = 3
    """Cells that the first line of a row fills."""
    above: tuple[str, ...] = field(default=(), compare=False)
    """How lines begin, spaces left out, that stand over several rows and belong to none."""


@dataclass(frozen=True)
class Expected:
    """A row that the model asks for: what its cells say, by the heads of their columns."""

    key: str
    cells: Mapping[str, str]


@dataclass(frozen=True)
class Found:
    """A row as printed, and where."""

    key: str
    cells: Mapping[str, str]
    page: int
    line: int


@dataclass(frozen=True, order=True)
class Difference:
    """Where a book says something else than the model; page and line 0 for what is missing."""

    page: int
    line: int
    kind: str
    what: str
