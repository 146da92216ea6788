"""The editions of the one book: which chapters each prints, and on what paper."""

from __future__ import annotations

from dataclasses import dataclass, replace

from buildbook.book.chapter import Chapter
from buildbook.book.chapters import (
    MAKERS,
    Maker,
    charts,
    drilling,
    faces,
    front,
    harnesses,
    hours,
    lengths,
    orders,
    parts,
    readings,
    ropes,
    silent_rules,
    sizes,
    together,
    trackside,
    unseen_faults,
    use,
)
from buildbook.book.drawings import Drawings
from buildbook.book.edition_list import EDITION_LINES, HELPER_NAME
from buildbook.result import Result
from buildbook.words.say import mark, say


@dataclass(frozen=True)
class Edition:
    """Some chapters of the book, numbered anew, in a file of their own."""

    name: str
    """Added to the file's name; '' for the whole book."""
    title: str
    """Said in the file's metadata."""
    teaches: str
    """What it is for, in a line: shown by --help and on the cover."""
    makers: tuple[Maker, ...]
    is_half: bool = False
    """Whether its pages are half of the vehicle's paper."""
    absent: frozenset[str] = frozenset()
    """Kinds of names that no chapter of it defines, though some mention them."""
    draws_all: bool = False
    """True where it prints every drawing, so that they are drawn before it asks for each."""


WHOLE = Edition("", mark("build book"), EDITION_LINES["whole"], MAKERS, draws_all=True)
ORDER = Edition(
    "order",
    mark("order pack"),
    EDITION_LINES["order"],
    (orders.cover, orders.chapters, parts.of_order_pack),
)

TRACKSIDE = Edition(
    "trackside",
    mark("trackside pages"),
    EDITION_LINES["trackside"],
    (trackside.chapters,),
    is_half=True,
)
HELPER = Edition(
    HELPER_NAME,
    mark("helper's pack"),
    EDITION_LINES[HELPER_NAME],
    (),
    absent=frozenset({"wire", "circuit", "device"}),
)
"""`helper_pack` gives it its chapters."""


def _cover_of_workings(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    return front.chapters(result, drawings, say("Workings: sizes, readings, lengths and rules"))


WORKINGS = Edition(
    "workings",
    mark("workings"),
    EDITION_LINES["workings"],
    (
        _cover_of_workings,
        sizes.chapters,
        readings.chapters,
        charts.chapters,
        lengths.chapters,
        hours.chapters,
        unseen_faults.chapters,
        silent_rules.chapters,
    ),
    absent=frozenset({"wire", "circuit", "device"}),
)

ROPES = Edition(
    "ropes",
    mark("ropes to measure"),
    EDITION_LINES["ropes"],
    (front.chapters, ropes.chapters),
)

EDITIONS: dict[str, Edition] = {
    e.name or "whole": e for e in (WHOLE, ORDER, HELPER, TRACKSIDE, WORKINGS, ROPES)
}


def helper_pack(harness: str) -> Edition:
    """The edition from which one harness is built: cautions, sheets, terminals, holes."""

    def cover(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
        written = result.vehicle.description.rope[harness].title
        title = written or say("harness {name}", name=harness)
        return front.chapters(result, drawings, say("Helper's pack: {title}", title=title))

    def sheets(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
        return (harnesses.one(result, drawings, harness),)

    def own_terminals(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
        return faces.of_harness(result, harness)

    def walls(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
        return drilling.of_harness(result, drawings, harness)

    makers = (cover, use.chapters, sheets, together(own_terminals, walls))
    return replace(HELPER, name=f"helper-{harness}", makers=makers)


def chapters_of(edition: Edition, result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    """Every chapter of an edition in order; the first is its front matter, chapter 0."""
    return tuple(chapter for maker in edition.makers for chapter in maker(result, drawings))
