"""What a check finds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

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


def count_by_severity(findings: Iterable[Finding]) -> dict[str, int]:
    """Severity, worst first -> how many findings of it are not waived."""
    counted = [finding.severity for finding in findings if not finding.waived]
    return {severity: counted.count(severity) for severity in SEVERITIES}
