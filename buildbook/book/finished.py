"""The objects of a chapter with nothing left open in its pages: numbers, revisions, bars."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from buildbook.book.book_error import BookError
from buildbook.book.effective import Effective, State, painted
from buildbook.book.page_references import put_in
from buildbook.book.pdf_objects import KeptObject, packed
from buildbook.book.render import Rendered, Row
from buildbook.book.stamps import holds_stamps, put_stamp

MM = 72 / 25.4
BAR_MM = 0.8
BESIDE_MM = 2.6
"""From a row to the left edge of its bar: clear of the words, and of the holes of a binder."""


def finished(
    chapter: Rendered, number: int, labels: Mapping[str, str], effective: Effective | None
) -> list[KeptObject]:
    """A chapter's objects, deflated, as chapter `number` prints them."""
    by_code = {reference.code: reference for reference in chapter.references}
    states = _states_of_objects(chapter, number, effective) if effective else {}
    made = []
    for place, kept in enumerate(chapter.objects):
        if kept.stream is not None and not kept.packed:
            stream = put_in(kept.stream, chapter.faces, by_code, labels)
            if chapter.stamp is not None and (found := states.get(place)):
                page, state = found
                stream = put_stamp(stream, chapter.stamp, chapter.faces, state.stamp)
                if place == next(painted(chapter, page)):
                    stream += _bars(row for row in chapter.rows if _is_barred(row, page, state))
            kept = packed(KeptObject(kept.text, stream))
        made.append(kept)
    return made


def _states_of_objects(
    chapter: Rendered, number: int, effective: Effective
) -> dict[int, tuple[int, State]]:
    """Number of an object that a page paints -> the page and its state.

    Raises BookError for a drawing that stands on two pages of unlike revisions: it can say one.
    """
    found: dict[int, tuple[int, State]] = {}
    for page in range(chapter.pages):
        state = effective.states[number, page]
        for place in painted(chapter, page):
            _, other = found.setdefault(place, (page, state))
            if other.stamp != state.stamp and _says_revision(chapter, place):
                raise BookError(
                    f"A drawing stands on two pages of chapter {chapter.name} that were changed in "
                    "unlike revisions. This is a mistake of the program; nothing was written."
                )
    return found


def _says_revision(chapter: Rendered, place: int) -> bool:
    kept = chapter.objects[place]
    if chapter.stamp is None or kept.stream is None or kept.packed:
        return False
    return holds_stamps(kept.stream, chapter.stamp, chapter.faces)


def _is_barred(row: Row, page: int, state: State) -> bool:
    return row.page == page and row.hash in state.bars


def _bars(rows: Iterable[Row]) -> bytes:
    """Content that paints a bar beside rows, one bar where they follow each other."""
    bars = [
        f"{x - BESIDE_MM * MM:.2f} {top:.2f} {BAR_MM * MM:.2f} {foot - top:.2f} re"
        for x, top, foot in _stretches(rows)
    ]
    return "\n".join(["", "q 0 g", *bars, "f Q"]).encode() if bars else b""


def _stretches(rows: Iterable[Row]) -> Iterator[tuple[float, float, float]]:
    """Left edge, top and foot of rows that touch."""
    last: tuple[float, float, float] | None = None
    for row in sorted(rows, key=lambda row: (row.x, row.top)):
        if last and abs(last[0] - row.x) < 1 and row.top - last[2] < 1:
            last = last[0], last[1], row.foot
            continue
        if last:
            yield last
        last = row.x, row.top, row.foot
    if last:
        yield last
