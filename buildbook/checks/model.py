"""What a check finds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from buildbook.description.edited import Edit
from buildbook.problem import Where

SEVERITIES = ("error", "warning", "note")
"""Worst first."""

PRACTICE = "common practice, no source"
"""Named as the source where a limit is custom and no document stands behind it."""


@dataclass(frozen=True)
class Finding:
    rule: str
    severity: str
    """error, warning or note"""
    about: str
    """Id of the device, wire, circuit, fuse or connector."""
    text: str
    remedy: str
    source: str
    where: Where
    waived: str = ""
    """The author's reason, where waived."""
    edits: tuple[Edit, ...] = ()
    """What would be written otherwise if its remedy were followed, where that is known."""
    explains: tuple[str, ...] = ()
    """Loads, pins and contacts whose findings go with this one."""
    follows: tuple[str, str] | None = None
    """Rule and about of the finding that it follows from: it goes when that is mended."""
    also: tuple[str, ...] = ()
    """What else it says the same of, where it is told together."""

    @property
    def key(self) -> tuple[str, str]:
        """What it is, and what it is about."""
        return self.rule, self.about

    @property
    def keys(self) -> tuple[tuple[str, str], ...]:
        """What it is, and each thing that it says it of."""
        return tuple((self.rule, name) for name in (self.about, *self.also))


def count_by_severity(findings: Iterable[Finding]) -> dict[str, int]:
    """Severity, worst first -> how many findings of it are not waived."""
    counted = [finding.severity for finding in findings if not finding.waived]
    return {severity: counted.count(severity) for severity in SEVERITIES}
