"""The chapters of the book in order: one module a chapter, one list."""

from __future__ import annotations

from collections.abc import Callable

from buildbook.book.chapter import Chapter, followed
from buildbook.book.chapters import (
    drilling,
    faces,
    findings,
    front,
    glance,
    harnesses,
    index,
    parts,
    powerup,
    reference,
    supply,
    systems,
    troubleshooting,
    use,
)
from buildbook.book.drawings import Drawings
from buildbook.result import Result

Maker = Callable[[Result, Drawings], tuple[Chapter, ...]]


def together(*makers: Maker) -> Maker:
    """Makes one chapter of what some makers give: the others go on below the first."""

    def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
        found = [chapter for maker in makers for chapter in maker(result, drawings)]
        return (followed(*found),) if found else ()

    return chapters


MAKERS: tuple[Maker, ...] = (
    front.chapters,
    use.chapters,
    glance.chapters,
    supply.chapters,
    systems.chapters,
    harnesses.chapters,
    together(faces.chapters, drilling.chapters),
    parts.chapters,
    powerup.chapters,
    together(troubleshooting.chapters, reference.chapters),
    together(findings.chapters, index.chapters),
)
