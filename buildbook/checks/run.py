"""Runs every rule and marks what the author has waived."""

from __future__ import annotations

from dataclasses import replace

from buildbook.checks.context import Context, where_of
from buildbook.checks.model import Finding
from buildbook.checks.registry import RULES
from buildbook.vehicle.model import Vehicle

WEIGHT = {"error": 0, "warning": 1, "note": 2}


def run_checks(context: Context) -> tuple[Finding, ...]:
    """Return what the rules find, worst first, then in the order of the rules' ids."""
    found = [finding for rule in RULES for finding in rule.check(context)]
    waived, idle = with_waivers(found, context.vehicle)
    return tuple(sorted([*waived, *idle], key=lambda f: WEIGHT[f.severity]))


def with_waivers(
    found: list[Finding], vehicle: Vehicle
) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """Return the findings with the author's reasons, and a note for each waiver unused."""
    reasons = {(w.rule, w.about): w.because for w in vehicle.description.waivers}
    marked = tuple(replace(f, waived=reasons.get((f.rule, f.about), "")) for f in found)
    matched = {(f.rule, f.about) for f in found}
    idle = tuple(
        Finding(
            "waiver-unused", "note", about,
            f"The waiver of {rule} for {about} matches no finding.",
            "Take the waiver out, or correct the names in it.",
            "this description", where_of(vehicle, about),
        )
        for rule, about in reasons
        if (rule, about) not in matched
    )  # fmt: skip
    return marked, idle
