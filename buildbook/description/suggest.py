"""Turns a name that is not known into the names that were probably meant."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def did_you_mean(name: str, choices: Iterable[str]) -> str:
    """A hint in words: the closest of `choices`, or all of them where they are few."""
    known = [str(choice) for choice in choices]
    by_lower = {choice.lower(): choice for choice in known}
    close = get_close_matches(name.lower(), list(by_lower), n=1, cutoff=0.6)
    if close:
        return f"did you mean `{by_lower[close[0]]}`?"
    if not known:
        return ""
    if len(known) <= 12:
        return "known here: " + ", ".join(f"`{choice}`" for choice in known)
    return "known here: " + ", ".join(f"`{choice}`" for choice in known[:12]) + ", …"
