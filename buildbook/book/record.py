"""What a book says of the revisions before it: the record of changes, in words."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.description.models import VehicleData
from buildbook.issued.model import Facts, Issued, Revision
from buildbook.sizing.changes import changes
from buildbook.words.say import say


@dataclass(frozen=True)
class Entry:
    """One revision and what it changed since the one before."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Record:
    """Revisions that were issued, those in front that came last, and the book held against them."""

    vehicle: VehicleData
    base: Revision | None
    """That the book is held against: its own as it was issued, or the last."""
    entries: tuple[Entry, ...]

    @property
    def is_issued(self) -> bool:
        """Whether the book's own revision was issued."""
        return self.base is not None and self.base.revision == self.vehicle.revision


def record_of(vehicle: VehicleData, facts: Facts, issued: Issued) -> Record:
    """What the book at the vehicle's revision says of this one and those before it."""
    base = issued.base_of(vehicle.revision)
    entries: list[Entry] = []
    if base is not None:
        lines = changes(base, facts)
        if base.revision != vehicle.revision:
            entries.append(Entry(_title(vehicle.revision, str(vehicle.date), base.revision), lines))
        elif lines:
            title = say("{revision}, altered since it was issued", revision=base.revision)
            entries.append(Entry(title, lines))
        before = [one for one in issued.revisions if one.revision in base.dates]
        for one in reversed(before):
            if one.earlier:
                title = _title(one.revision, str(one.date), one.earlier[-1].revision)
                entries.append(Entry(title, tuple(one.changes)))
    return Record(vehicle, base, tuple(entries))


def _title(revision: str, date: str, before: str) -> str:
    return say("{revision} of {date}, since {before}", revision=revision, date=date, before=before)


def altered(revision: str) -> str:
    """A revision on pages that are otherwise than when it was issued."""
    return say("{revision} altered", revision=revision)
