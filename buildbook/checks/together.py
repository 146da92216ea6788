"""Puts findings that say the same of several wires or runs, with one cure, into one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from buildbook.checks.model import Finding
from buildbook.checks.naming import with_others
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

TOGETHER = (
    "short-burns-on",
    "feed-unfused",
    "length-estimated",
    "isolator-bypassed",
    "unsealed-in-wet",
    "sensor-ground-shared",
    "harness-chosen",
)
"""Rules whose findings have one cause and one cure; the first of them is what others follow."""


def told_together(found: Sequence[Finding], assessed: Assessed) -> tuple[Finding, ...]:
    """The findings, those of a rule with one severity and one remedy as one; waived ones stay."""
    leads: dict[tuple[str, str], tuple[str, str]] = {}
    groups: dict[tuple[object, ...], list[int]] = {}
    told = list(found)
    for rule in TOGETHER:
        for place, finding in enumerate(found):
            if finding.rule == rule and not finding.waived:
                follows = leads.get(finding.follows, finding.follows) if finding.follows else None
                told[place] = replace(finding, follows=follows)
                key = (rule, finding.severity, finding.remedy, follows)
                group = groups.setdefault(key, [])
                group.append(place)
                leads.setdefault(finding.key, found[group[0]].key)
    whole = {
        places[0]: _as_one([told[place] for place in places], assessed)
        for places in groups.values()
    }
    others = {place for places in groups.values() for place in places[1:]}
    return tuple(
        whole.get(place, finding) for place, finding in enumerate(told) if place not in others
    )


def _as_one(group: list[Finding], assessed: Assessed) -> Finding:
    first, *others = group
    if not others:
        return first
    return replace(
        first,
        text=with_others(first.text, [_named(f.about, assessed) for f in others]),
        also=tuple(f.about for f in others),
    )


def _named(about: str, assessed: Assessed) -> str:
    wire = assessed.harness.wires.get(about)
    return say("{wire} of '{circuit}'", wire=about, circuit=wire.circuit) if wire else about
