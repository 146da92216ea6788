"""Where to look for what is seen: the numbers of trees by the device that a driver names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from buildbook.book.symptom_headings import device_titles, seen_head
from buildbook.faultfinding.model import Symptom
from buildbook.result import Result
from buildbook.words.say import mark, say

KINDS = ("dead", "weak", "stuck on", "wrong reading")
"""What happens to a device, a column each; what is rarer stands in one more."""
BLOWS = mark("Dead, and a fuse or output opens")
OTHER = mark("Otherwise")
NEARLY_EVERYTHING = mark("Nearly everything")
NAMED = 2
"""Devices by which a symptom of many is found."""


@dataclass(frozen=True)
class Numbered:
    """The number of a tree, and where it stands."""

    number: int
    anchor: str
    alone: bool
    """Nothing else is upset."""


@dataclass
class FinderRow:
    """What a driver names, and the trees by what is seen of it."""

    name: str
    cells: dict[str, list[Numbered]] = field(default_factory=dict)

    def add(self, kind: str, entry: Numbered) -> None:
        entries = self.cells.setdefault(kind, [])
        if entry.number not in [other.number for other in entries]:
            entries.append(entry)


@dataclass(frozen=True)
class FinderGroup:
    """A group of trees as the chapter has them: from which number to which, and its rows."""

    title: str
    first: Numbered
    last: Numbered
    many: bool
    """Its trees are of much that fails at once, found by the first that are named."""
    rows: tuple[FinderRow, ...]


def finder_group(
    result: Result, title: str, trees: Sequence[tuple[int, str, str]], many: bool
) -> FinderGroup:
    """The rows of a group, `trees` being numbers with symptoms' ids and headings in order."""
    symptoms = {s.id: s for s in result.faultfinding.symptoms}
    rows: dict[str, FinderRow] = {}
    for number, name, heading in trees:
        for seen, kind, alone in _seen(result, symptoms[name], heading, many):
            row = rows.setdefault(seen, FinderRow(seen))
            row.add(kind, Numbered(number, name, alone))
    numbered = [Numbered(number, name, False) for number, name, _ in trees]
    ordered = rows.values() if many else sorted(rows.values(), key=lambda row: row.name)
    return FinderGroup(title, numbered[0], numbered[-1], many, tuple(ordered))


def _seen(
    result: Result, symptom: Symptom, heading: str, many: bool
) -> Iterable[tuple[str, str, bool]]:
    """What is named, what is seen of it, and whether nothing else is upset."""
    titles = device_titles(result, symptom.effects)
    if not titles:
        return [(heading, OTHER, False)]
    if many:
        kind = next(iter(titles))
        nearly = say(NEARLY_EVERYTHING)
        name = nearly if heading.startswith(nearly) else _first_named(titles)
        return [(name, column(symptom, kind), False)]
    alone = sum(len(names) for names in titles.values()) == 1
    return [
        (name, column(symptom, kind), alone) for kind, names in titles.items() for name in names
    ]


def _first_named(titles: Mapping[str, tuple[str, ...]]) -> str:
    names = next(iter(titles.values()))
    every = sum(len(those) for those in titles.values())
    first = ", ".join(names[:NAMED])
    return say("{names} and more", names=first) if every > len(names[:NAMED]) else first


def column_head(kind: str) -> str:
    """What stands over a column."""
    return seen_head(kind) if kind in KINDS else say(kind)


def column(symptom: Symptom, kind: str) -> str:
    """The column of what happens to a device."""
    if kind == "dead" and (symptom.blows or symptom.trips):
        return BLOWS
    return kind if kind in KINDS else OTHER
