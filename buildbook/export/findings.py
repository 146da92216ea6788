"""Rows about what the checks find."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from buildbook.checks.model import Finding
from buildbook.checks.stages import Checked


def finding_rows(checked: Checked) -> list[dict[str, Any]]:
    """One row a finding, waived ones included."""
    return rows_of(checked.findings)


def rows_of(found: Iterable[Finding]) -> list[dict[str, Any]]:
    """One row each of some findings."""
    return [
        {
            "rule": finding.rule,
            "severity": finding.severity,
            "about": finding.about,
            "also": list(finding.also),
            "text": finding.text,
            "remedy": finding.remedy,
            "source": finding.source,
            "where": str(finding.where),
            "waived": finding.waived,
            "follows": " for ".join(finding.follows) if finding.follows else "",
        }
        for finding in found
    ]
