"""Folds findings under the one that they follow from: mended on the model, they are gone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from buildbook.checks.model import SEVERITIES, Finding
from buildbook.description.edited import Edit
from buildbook.words.say import say, say_n

Retry = Callable[[tuple[Edit, ...]], Sequence[Finding] | None]
"""What is found with something written otherwise; None where that makes no vehicle."""
FIRST = ("not-as-meant", "value-unlikely", "run-unlikely", "setting-unlikely")
"""Rules whose mends are tried, those that explain most before the others."""
ONE_AFTER_ANOTHER = "not-as-meant"
"""Its mends are found one after another, each with those before it done: so they are tried."""
GOES_WITH = {"load-never-works": "load-no-way", "quiet-beside-noisy": "signal-unscreened"}
"""A rule, and the one whose cure is its cure too, where both speak of one thing."""
MOST_TRIED = 4
"""Mends that are tried on the whole model in one check: each costs as much as a check."""


def with_causes(found: Sequence[Finding], retry: Retry) -> tuple[Finding, ...]:
    """The findings, each that goes with a cause marked with it; what a cure brings is said there.

    A finding counts as gone where nothing of its rule is said of the same thing any more, or only
    something less bad.
    """
    roots = sorted((f for f in found if f.edits and f.rule in FIRST and not f.waived), key=_first)
    follows: dict[int, tuple[str, str]] = {}
    told: dict[int, Finding] = {}
    done: tuple[Edit, ...] = ()
    for root in roots[:MOST_TRIED]:
        if id(root) in follows:
            continue
        if root.rule == ONE_AFTER_ANOTHER:
            done = (*done, *root.edits)
        after = retry(done if root.rule == ONE_AFTER_ANOTHER else root.edits)
        if after is None:
            continue
        left = worst_of(after)
        before = worst_of(found)
        if root.key in left:  # mending it once was not enough: it explains nothing
            continue
        for finding in found:
            level = SEVERITIES.index(finding.severity)
            is_gone = all(left.get(key, len(SEVERITIES)) > level for key in finding.keys)
            if is_gone and finding is not root and finding not in roots[: roots.index(root)]:
                follows.setdefault(id(finding), root.key)
        brings = [f for f in after if f.severity != "note" and f.key not in before]
        told[id(root)] = replace(root, remedy=root.remedy + _brings(brings))
    return _with_ways(
        tuple(
            replace(f, follows=follows.get(id(f), f.follows)) if id(f) not in told else told[id(f)]
            for f in found
        )
    )


def _first(finding: Finding) -> tuple[bool, int, int]:
    """What is tried first: settings that cannot be, then what explains most."""
    cannot_be = finding.rule == "setting-unlikely" and finding.severity == "error"
    return not cannot_be, FIRST.index(finding.rule), SEVERITIES.index(finding.severity)


def _with_ways(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """What follows from another finding about the same thing, and needs no trial."""
    standing = {f.key for f in found if not f.waived and f.follows is None}
    return tuple(
        replace(f, follows=(GOES_WITH[f.rule], f.about))
        if f.follows is None and (GOES_WITH.get(f.rule, ""), f.about) in standing
        else f
        for f in found
    )


def with_explained(found: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings, each about what another explains marked with it: no cure is tried."""
    by: dict[str, Finding] = {}
    for finding in found:
        for about in finding.explains:
            by.setdefault(about, finding)
    return _with_ways(
        tuple(
            replace(f, follows=by[f.about].key)
            if f.about in by and not f.explains and f.follows is None
            else f
            for f in found
        )
    )


def worst_of(found: Iterable[Finding]) -> dict[tuple[str, str], int]:
    """Rule and about -> the worst severity that is not waived, 0 for an error."""
    worst: dict[tuple[str, str], int] = {}
    for finding in found:
        if not finding.waived:
            level = SEVERITIES.index(finding.severity)
            for key in finding.keys:
                worst[key] = min(level, worst.get(key, level))
    return worst


def _brings(brings: Sequence[Finding]) -> str:
    """What the cure brings, so that nobody is surprised by it."""
    if not brings:
        return ""
    first = brings[0]
    rest = len(brings) - 1
    if not rest:
        return say(" With it comes {rule} for {about}.", rule=first.rule, about=first.about)
    return say_n(
        " With it comes {rule} for {about}, and {n} other finding.",
        " With it comes {rule} for {about}, and {n} other findings.",
        rest,
        rule=first.rule,
        about=first.about,
    )


def roots_and_counts(found: Iterable[Finding]) -> list[tuple[Finding, int]]:
    """Findings that follow from no other, each with how many follow from it."""
    every = list(found)
    count: dict[tuple[str, str], int] = {}
    for finding in every:
        if finding.follows and not finding.waived:
            count[finding.follows] = count.get(finding.follows, 0) + 1
    taken: set[tuple[str, str]] = set()
    rows = []
    for finding in every:
        if finding.follows and not finding.waived:
            continue
        rows.append((finding, 0 if finding.key in taken else count.get(finding.key, 0)))
        taken.add(finding.key)
    return rows
