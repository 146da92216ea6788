"""Runs every rule and marks what the author has waived."""

from __future__ import annotations

from buildbook.checks.model import SEVERITIES, Finding
from buildbook.checks.registry import RULES
from buildbook.checks.stages import Assessed
from buildbook.checks.waivers import with_waivers


def run_checks(assessed: Assessed) -> tuple[Finding, ...]:
    """Return what the rules find, worst first, then in the order of the rules' ids."""
    found = [finding for rule in RULES for finding in rule.check(assessed)]
    waived, idle = with_waivers(found, assessed)
    return tuple(sorted([*waived, *idle], key=lambda f: SEVERITIES.index(f.severity)))
