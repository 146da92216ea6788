"""Findings of the checks, and what the author waived."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.checks.model import SEVERITIES
from buildbook.checks.registry import RULES
from buildbook.result import Result
from buildbook.words.say import say


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    standing = [f for f in result.findings if not f.waived]
    groups = [
        (severity, [f for f in standing if f.severity == severity]) for severity in SEVERITIES
    ]
    context = {
        "groups": groups,
        "found": bool(result.findings),
        "waived": [f for f in result.findings if f.waived],
        "rules": len(RULES),
        "silent": len({rule.id for rule in RULES} - {found.rule for found in result.findings}),
    }
    return (Chapter("findings", say("Findings and waivers"), "findings.html", context),)
