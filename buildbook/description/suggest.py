"""Turns a name that is not known into the names that were probably meant."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import SequenceMatcher, get_close_matches
from os.path import commonprefix

MOST_LISTED = 12
"""Names in one hint."""


def did_you_mean(name: str, choices: Iterable[str], listed: Iterable[str] | None = None) -> str:
    """A hint in words: the closest of `choices`, or all of them where they are few.

    Where there are many, `listed` may say which of them are worth a line.
    """
    known = list(dict.fromkeys(str(choice) for choice in choices))
    by_lower = {choice.lower(): choice for choice in known}
    close = get_close_matches(name.lower(), list(by_lower), n=5, cutoff=0.6)
    close = [choice for choice in close if _plausible(name.lower(), choice)]
    if close:
        return f"did you mean `{by_lower[close[0]]}`?"
    told = known if listed is None else list(dict.fromkeys(listed))
    if not told:
        return ""
    more = ", …" if len(told) > MOST_LISTED else ""
    return "known here: " + ", ".join(f"`{choice}`" for choice in told[:MOST_LISTED]) + more


def nearest_first(name: str, choices: Iterable[str]) -> list[str]:
    """The choices, each once, by how much they are like a name; as they come where equally."""
    known = dict.fromkeys(choices)
    like = {c: SequenceMatcher(None, name.lower(), c.lower()).ratio() for c in known}
    return sorted(known, key=lambda choice: -like[choice])


def _plausible(name: str, choice: str) -> bool:
    """Whether one may be a slip for the other: begun alike, or a letter in four typed otherwise.

    Letters in common are not enough: a wiper is no downpipe.
    """
    alike = len(commonprefix([name, choice]))
    if name in choice or choice in name or 2 * alike >= max(len(name), len(choice)):
        return True
    return _slips(name, choice) <= max(1, round(max(len(name), len(choice)) / 4))


def _slips(one: str, other: str) -> int:
    """Letters to add, leave out, change or swap with their neighbour (Damerau, 1964)."""
    rows = [list(range(len(other) + 1))]
    for i, letter in enumerate(one, start=1):
        row = [i]
        for j, beside in enumerate(other, start=1):
            steps = [rows[-1][j] + 1, row[-1] + 1, rows[-1][j - 1] + (letter != beside)]
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == beside:
                steps.append(rows[-2][j - 2] + 1)
            row.append(min(steps))
        rows.append(row)
    return rows[-1][-1]
