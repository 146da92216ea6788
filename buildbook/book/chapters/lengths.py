"""What every cut length is made up of, for whoever checks the book."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.chapters.harnesses import cut_lines, sheet_of
from buildbook.book.drawings import Drawings
from buildbook.result import Result
from buildbook.words.say import say


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    harnesses = [
        (
            name,
            written.title,
            [line for lines in cut_lines(sheet_of(result, name)).values() for line in lines],
        )
        for name, written in result.vehicle.description.rope.items()
    ]
    context = {
        "harnesses": harnesses,
        "guessed": any(line.row.guessed for _, _, lines in harnesses for line in lines),
    }
    return (Chapter("lengths", say("What each length is made up of"), "lengths.html", context),)
