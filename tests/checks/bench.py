"""What the tests of single rules share: whom a rule's findings are about."""

from __future__ import annotations

from types import ModuleType

from buildbook.checks.stages import Assessed


def about(rule: ModuleType, assessed: Assessed) -> list[str]:
    """Ids that a rule finds, each finding sound: of its rule, a severity it lists, all said."""
    found = list(rule.check(assessed))
    for finding in found:
        assert finding.rule == rule.RULE and finding.severity in rule.SEVERITY.split(" or ")
        assert finding.text and finding.remedy and finding.source and finding.where
    return [finding.about for finding in found]
