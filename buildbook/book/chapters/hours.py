"""Crimps and hours of every harness, for whoever checks the book or plans the work."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.chapters.harnesses import sheet_of
from buildbook.book.drawings import Drawings
from buildbook.result import Result
from buildbook.words.say import say


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    rope = result.vehicle.description.rope
    context = {"harnesses": [(name, rope[name].title, sheet_of(result, name)) for name in rope]}
    return (Chapter("hours", say("Crimps and hours"), "hours.html", context),)
