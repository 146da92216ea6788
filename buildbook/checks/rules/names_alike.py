"""Finds names that a builder cannot tell apart."""

from __future__ import annotations

import re
from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import where_of
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "names-alike"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: two labels that read alike get swapped"


SAME_SHAPE = str.maketrans(
    "АВСЕНІЈКМОРЅТХаеосріјѕухΑΒΕΖΗΙΚΜΝΟΡΤΥΧοІ0Il|",
    "ABCEHIJKMOPSTXaeocpijsyxABEZHIKMNOPTYXoIOlll",
)
"""Letters of other alphabets that most typefaces draw as Latin ones, and signs that are taken for
one another (Unicode Technical Standard 39, from memory)."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Devices of one kind whose names read alike, and names of any kind that look the same."""
    yield from _devices(assessed)
    yield from _same_look(assessed)


def _same_look(assessed: Assessed) -> Iterator[Finding]:
    """Two names in one section that differ only in letters that look the same."""
    for section in ("devices", "circuits"):
        seen: dict[str, str] = {}
        for name in getattr(assessed.vehicle.description, section):
            other = seen.setdefault(_look(name), name)
            if other != name:
                yield Finding(
                    RULE,
                    "warning",
                    name,
                    say(
                        "`{name}` and `{other}` in `{section}` look the same and are two names: "
                        "one has other letters, which the eye does not tell apart.",
                        name=name,
                        other=other,
                        section=section,
                    ),
                    say("Give each a name that differs to the eye, or write both in one alphabet."),
                    SOURCE,
                    where_of(assessed.vehicle, name),
                )


def _look(name: str) -> str:
    return " ".join(name.translate(SAME_SHAPE).split())


def _devices(assessed: Assessed) -> Iterator[Finding]:
    """Compare devices of one kind, without case, spaces and dashes; a fuse is named as its load."""
    seen: dict[tuple[str, str], str] = {}
    for device in assessed.vehicle.devices.values():
        for plain in dict.fromkeys((_plain(device.title), _plain(device.id))):
            name = (device.kind, plain)
            other = seen.get(name, device.id)
            if other != device.id:
                yield Finding(
                    RULE,
                    "warning",
                    device.id,
                    say(
                        "{device} and {other} carry the same name, {title}: their labels read "
                        "alike.",
                        device=device.id,
                        other=other,
                        title=device.title,
                    ),
                    say(
                        "Give each a name that says which it is: left, right, front, rear, a "
                        "number."
                    ),
                    SOURCE,
                    device.where,
                )
                break
            seen[name] = device.id


def _plain(name: str) -> str:
    return re.sub(r"[\s_-]+", "", name.lower())
