"""Names one after another, as a sentence says them."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.words.say import mark, say, say_n


def all_of(names: Sequence[str]) -> str:
    """'101 and 102 and 103'."""
    return _joined(names, mark("{names} and {last}"))


def either_of(names: Sequence[str]) -> str:
    """'101 or 102 or 103'."""
    return _joined(names, mark("{names} or {last}"))


def _joined(names: Sequence[str], pair: str) -> str:
    said = "".join(names[:1])
    for name in names[1:]:
        said = say(pair, names=said, last=name)
    return said


def listed(names: Sequence[str]) -> str:
    """'101, 102 and 103'."""
    if len(names) < 2:
        return "".join(names)
    return say("{names} and {last}", names=", ".join(names[:-1]), last=names[-1])


def numbers_listed(numbers: Sequence[str]) -> str:
    """'0.1, 0.2, 0.5': a comma does not stand between numbers that have one in them."""
    return say(", ", context="between numbers").join(numbers)


def and_more(names: Sequence[str], more: int) -> str:
    """'101, 102 and 4 more': the first of many, and how many more there are."""
    return say_n("{names} and {n} more", "{names} and {n} more", more, names=", ".join(names))


def few_of(names: Sequence[str], most: int = 1) -> str:
    """'101', '101 and 4 more': the first of several, the others counted."""
    left_out = len(names) - most
    return and_more(names[:most], left_out) if left_out > 0 else ", ".join(names)
