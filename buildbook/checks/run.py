"""Runs every rule and marks what the author has waived."""

from __future__ import annotations

from dataclasses import replace

from buildbook.checks.model import PRACTICE, SEVERITIES, Finding
from buildbook.checks.registry import RULES, Registered
from buildbook.checks.stages import Assessed
from buildbook.checks.together import told_together
from buildbook.checks.waivers import with_waivers
from buildbook.words.say import say

CUSTOM = f"{PRACTICE}: "


def run_checks(assessed: Assessed) -> tuple[Finding, ...]:
    """Return what the rules find, worst first, then in the order of the rules' ids."""
    found = [_with_source_said(f, rule) for rule in RULES for f in rule.check(assessed)]
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


def _with_source_said(finding: Finding, rule: Registered) -> Finding:
    """Rules give their source as it is written; other sources are said already."""
    if finding.source != rule.source:
        return finding
    why = rule.source.removeprefix(CUSTOM)
    if why == rule.source:
        return replace(finding, source=say(rule.source))
    return replace(finding, source=say("common practice, no source: {why}", why=say(why)))
