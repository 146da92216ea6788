"""Findings of the checks, what the author waived, and what was looked for and not found."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.checks.listing import what_it_finds
from buildbook.checks.model import SEVERITIES
from buildbook.checks.registry import RULES
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    standing = [f for f in result.findings if not f.waived]
    groups = [
        (severity, [f for f in standing if f.severity == severity]) for severity in SEVERITIES
    ]
    found = {finding.rule for finding in result.findings}
    context = {
        "groups": groups,
        "waived": [f for f in result.findings if f.waived],
        "rules": len(RULES),
        "silent": [what_it_finds(rule) for rule in RULES if rule.id not in found],
    }
    return (Chapter("findings", "Findings and waivers", "findings.html", context),)
