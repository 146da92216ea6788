"""Names one after another, as a sentence says them."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.words.say import say


def all_of(names: Sequence[str]) -> str:
    """'101 and 102 and 103'."""
    said = "".join(names[:1])
    for name in names[1:]:
        said = say("{names} and {last}", names=said, last=name)
    return said
