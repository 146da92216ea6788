"""Conditions of sensors that are called as the description calls them where its author does not."""

from __future__ import annotations

from buildbook.words.say import mark, say

AT_REST = mark("at rest, 20 degC", context="sensor")
UNNAMED = frozenset(
    {
        AT_REST,
        mark("target in front of the sensor", context="sensor"),
        mark("nothing in front of the sensor", context="sensor"),
        mark("closed", context="sensor"),
        mark("open", context="sensor"),
    }
)


def condition_words(when: str) -> str:
    """What an author calls a condition, or our words for it."""
    return say(when, context="sensor") if when in UNNAMED else when
