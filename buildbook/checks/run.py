"""Runs every rule and marks what the author has waived."""

from __future__ import annotations

from dataclasses import replace

from buildbook.checks.model import SEVERITIES, Finding
from buildbook.checks.registry import RULES
from buildbook.checks.stages import Assessed
from buildbook.checks.together import told_together
from buildbook.checks.waivers import with_waivers


def run_checks(assessed: Assessed) -> tuple[Finding, ...]:
    """Return what the rules find, worst first, then in the order of the rules' ids."""
    found = [finding for rule in RULES for finding in rule.check(assessed)]
    burning = {f.about for f in found if f.rule == "short-burns-on"}
    found = [
        replace(f, follows=("short-burns-on", f.about))
        if f.rule == "feed-unfused" and f.about in burning
        else f
        for f in found
    ]
    waived, idle = with_waivers(found, assessed)
    every = sorted([*waived, *idle], key=lambda f: SEVERITIES.index(f.severity))
    return told_together(every, assessed)
