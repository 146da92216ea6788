"""The language of `revisions/NAME.yaml`: what a revision said, and each page of its book."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from buildbook.description.models import Name, Section
from buildbook.description.models.base import Text, Title

FOLDER = "revisions"
THE_TRUNK = "the trunk"
"""In the place of a run's name, where a splice lies off its point along none that is named."""
PAGE_LETTERS = 32
"""Of the hash of a page: four bits in each."""
ROW_LETTERS = 12
"""Of the hash of a row: two of a chapter's thousand rows are alike by chance once in 500 million
chapters."""

PageHash = Annotated[str, Field(pattern=rf"^[a-p]{{{PAGE_LETTERS}}}$")]
RowHashes = Annotated[str, Field(pattern=rf"^([a-p]{{{ROW_LETTERS}}}( [a-p]{{{ROW_LETTERS}}})*)?$")]
"""Hashes in letters, which no reader of YAML takes for a number, with a space between two."""


class IssuedWire(Section):
    """One wire, as the build sheets say it."""

    circuit: Name
    from_: Name
    to: Name
    size: Name
    length: Name
    colour: Name


class IssuedSplice(Section):
    circuit: Name
    harness: Name
    at: Title
    """Its point, and how far along which run it lies off it."""


class IssuedDevice(Section):
    title: Title
    at: Name
    """Its point, or its panel and place on it."""
    part: Name | None = None


class Facts(Section):
    """What somebody acts on, by the numbers and names that the book prints."""

    wires: dict[Name, IssuedWire] = {}
    splices: dict[Name, IssuedSplice] = {}
    fuses: dict[Name, Name] = {}
    """Fuse -> its rating."""
    devices: dict[Name, IssuedDevice] = {}


class Dated(Section):
    """A revision that was issued earlier."""

    revision: Name
    date: datetime.date


class IssuedPage(Section):
    revision: Name
    """That it was last changed in: it stands at its foot."""
    hash: PageHash
    bars: RowHashes = ""
    """The rows that a bar stands beside."""


class IssuedChapter(Section):
    name: Name
    pages: list[IssuedPage]
    rows: RowHashes = ""
    """Every row of its tables."""


class Revision(Facts):
    """A revision as it was issued."""

    revision: Name
    date: datetime.date
    earlier: list[Dated] = []
    """Those that were issued before it, in that order."""
    changes: list[Text] = []
    """What it changed since the one before, in words."""
    chapters: list[IssuedChapter]

    @property
    def dates(self) -> dict[str, datetime.date]:
        """Of this revision and all before it, in the order of issue."""
        return {one.revision: one.date for one in self.earlier} | {self.revision: self.date}


@dataclass(frozen=True)
class Issued:
    """The revisions of a vehicle that were issued, in that order."""

    revisions: tuple[Revision, ...] = ()

    @property
    def names(self) -> list[str]:
        return [one.revision for one in self.revisions]

    def named(self, name: str) -> Revision | None:
        """The revision of that name, None where none was issued."""
        return next((one for one in self.revisions if one.revision == name), None)

    def base_of(self, name: str) -> Revision | None:
        """What a book at revision `name` is held against: that one as issued, or the last."""
        last = self.revisions[-1] if self.revisions else None
        return self.named(name) or last
