"""A chapter before it is rendered, and the names of the places it can be linked to."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from buildbook.drawing.shared.model import Drawing


@dataclass(frozen=True)
class Chapter:
    """What one template needs to become one numbered chapter."""

    name: str
    """'findings', 'system-fuel': file name of the chapter and, after 'chapter-', its anchor."""
    title: str
    template: str
    context: Mapping[str, object] = field(default_factory=dict)
    drawings: tuple[Drawing, ...] = ()
    lists_pages: bool = False
    """True where the chapter says how many pages the others have: it is set after them."""
    followed_by: tuple[Chapter, ...] = ()
    """What goes on below it, with a title but no number and no pages of its own."""

    @property
    def anchor(self) -> str:
        return f"chapter-{self.name}"


def followed(first: Chapter, *rest: Chapter) -> Chapter:
    """A chapter with others that go on below it: short ones would leave most of a page empty."""
    return replace(
        first,
        drawings=tuple(drawing for one in (first, *rest) for drawing in one.drawings),
        lists_pages=any(one.lists_pages for one in (first, *rest)),
        followed_by=(*first.followed_by, *rest),
    )


def anchor(kind: str, name: str) -> str:
    """Anchor of a named thing: letters, digits and - . only; other characters as _hex_."""
    safe = re.sub(r"[^A-Za-z0-9.-]", lambda found: f"_{ord(found[0]):x}_", name)
    return f"{kind}-{safe}"
