"""The chapters of the book in order: one module a chapter, one list."""

from __future__ import annotations

from collections.abc import Callable

from buildbook.book.chapter import Chapter
from buildbook.book.chapters import (
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

MAKERS: tuple[Maker, ...] = (
    front.chapters,
    use.chapters,
    glance.chapters,
    supply.chapters,
    systems.chapters,
    harnesses.chapters,
    faces.chapters,
    parts.chapters,
    powerup.chapters,
    troubleshooting.chapters,
    reference.chapters,
    findings.chapters,
    index.chapters,
)
