"""References to pages that are known only when all is set: each keeps room and is put in later.

In a chapter's HTML and drawings a reference is a code that looks like a page's number and is as
wide as the widest. In the finished page it is found again by its glyphs and gives way to the
number, which stands where a second layout would have put it: digits are all of one width, are not
kerned, and the room of a reference does not depend on its number.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from buildbook.book.typeface import face

START, MIDDLE, END = 0.0, 0.5, 1.0
"""How much of what a line gets narrower it moves by, with this end fixed."""
FACE_OR_TEXT = re.compile(rb"/(\w+) [-0-9.]+ Tf|\[<([0-9a-f]+)")


@dataclass(frozen=True)
class PageReference:
    """A code in a chapter, and the anchor whose page takes its place."""

    code: str
    target: str
    fixed: float = END
    """The end of the line that stays where it is: START, MIDDLE or END."""

    def holds(self, label: str) -> bool:
        """True where the label is no wider than the room that was kept for it."""
        return len(label) <= len(self.code)


def codes(chapter_digits: int, page_digits: int) -> Iterator[str]:
    """Every code of so many digits: '00–00', '00–01', …"""
    digits = chapter_digits + page_digits
    for number in range(10**digits):
        text = f"{number:0{digits}d}"
        yield f"{text[:chapter_digits]}–{text[chapter_digits:]}"


def width_em(code: str) -> float:
    """The width of a code in the widest face, rounded up, in sizes of the font."""
    return math.ceil(face("Bold").width_of(code) / 10) / 100


class NoRoom(Exception):
    """References need more digits than were kept."""


class Codes(Mapping[str, str]):
    """Anchor -> code, handed out as a chapter asks for them; the anchors are all of the book's.

    `written` is what stands in the chapter already: a code that stands there is passed over.
    """

    def __init__(
        self,
        chapter_of: Mapping[str, int],
        known: Mapping[str, str],
        written: str,
        page_digits: int = 2,
    ) -> None:
        """`chapter_of`: anchor -> number of its chapter; `known`: pages that need no code."""
        self._chapter_of, self._known = chapter_of, known
        digits = {len(str(number)) for number in chapter_of.values()}
        self._codes = {
            n: (code for code in codes(n, page_digits) if code not in written) for n in digits
        }
        self._given: dict[tuple[str, float], str] = {}

    def __getitem__(self, name: str) -> str:
        return self.code(name, END)

    def code(self, name: str, fixed: float) -> str:
        """The code, or the page, of an anchor in a line with this end fixed."""
        if known := self._known.get(name):
            return known
        if (name, fixed) not in self._given:
            code = next(self._codes[len(str(self._chapter_of[name]))], "")
            if not code:
                raise NoRoom
            self._given[name, fixed] = code
        return self._given[name, fixed]

    def is_known(self, name: str) -> bool:
        """True for an anchor whose page needs no code."""
        return name in self._known

    def __contains__(self, name: object) -> bool:
        """Whether the book has the anchor: to ask hands out no code."""
        return name in self._chapter_of

    def __iter__(self) -> Iterator[str]:
        return iter(self._chapter_of)

    def __len__(self) -> int:
        return len(self._chapter_of)

    @property
    def references(self) -> tuple[PageReference, ...]:
        return tuple(PageReference(c, name, fixed) for (name, fixed), c in self._given.items())


def codes_in(
    stream: bytes, faces: Mapping[str, str], references: Mapping[str, PageReference]
) -> set[str]:
    """Which codes a page's content holds. `faces`: name of a font in the page -> of its face."""
    return {code for _found, _face, code in _places(stream, faces, references)}


def put_in(
    stream: bytes,
    faces: Mapping[str, str],
    references: Mapping[str, PageReference],
    labels: Mapping[str, str],
) -> bytes:
    """A page's content with labels of pages in the place of codes.

    `references` by their codes, `labels` by anchor.
    """
    pieces, done = [], 0
    for found, name, code in _places(stream, faces, references):
        reference, type_ = references[code], face(name)
        label = labels[reference.target]
        shift = (type_.width_of(code) - type_.width_of(label)) * reference.fixed
        begin, end = found.start(2) - 1, found.start(2) + 4 * len(code)
        moved = f"{-shift:.3f}".rstrip("0").rstrip(".").encode() if shift else b""
        pieces += [stream[done:begin], moved, b"<", type_.hex_of(label).encode()]
        done = end
    return b"".join([*pieces, stream[done:]])


def _places(
    stream: bytes, faces: Mapping[str, str], references: Mapping[str, PageReference]
) -> Iterator[tuple[re.Match[bytes], str, str]]:
    """The strings of a content stream that begin with a code: match, name of the face, code."""
    lengths = sorted({4 * len(code) for code in references})
    by_face = {
        name: {face(name).hex_of(code).encode(): code for code in references}
        for name in set(faces.values())
    }
    name: str | None = None
    for found in FACE_OR_TEXT.finditer(stream) if references else ():
        if found[1]:
            name = faces.get(found[1].decode())
        elif name:
            begun = (by_face[name].get(found[2][:length]) for length in lengths)
            if code := next(filter(None, begun), None):
                yield found, name, code
