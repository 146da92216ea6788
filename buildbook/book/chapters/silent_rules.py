"""The rules that found nothing, and the sources of the others, for whoever checks the book."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.checks.listing import what_it_finds
from buildbook.checks.registry import RULES
from buildbook.result import Result
from buildbook.words.say import say


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    found = {finding.rule for finding in result.findings}
    silent = [(rule.id, say(what_it_finds(rule))) for rule in RULES if rule.id not in found]
    sources = sorted({(f.rule, f.source) for f in result.findings})
    context = {"silent": silent, "sources": sources, "rules": len(RULES)}
    title = say("Looked for and not found")
    return (Chapter("silent-rules", title, "silent_rules.html", context),)
