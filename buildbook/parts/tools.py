"""The tools that the terminals, splices and seals call for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from buildbook.parts.keys import area_mm2
from buildbook.parts.spares import LARGE_LUG_MM2
from buildbook.parts.take_off import TakeOff
from buildbook.words.say import mark, say

OPEN_BARREL = ("tool open-barrel", mark("Crimp tool for open-barrel contacts"))
CRIMPERS = {
    "pin": OPEN_BARREL,
    "blade": OPEN_BARREL,
    "size": ("tool four-indent", mark("Four-indent crimp tool for turned contacts")),
    "ring": ("tool ring", mark("Crimp tool for ring terminals up to 6 mm2")),
}
"""Start of a contact family -> the tool that crimps it. Common practice, no source."""

LUG = ("tool lug", mark("Hexagon crimp tool for lugs from 10 mm2"))
BESIDE = {
    "wire": ("tool stripper", mark("Wire stripper")),
    "splice": ("tool splice", mark("Crimp tool for splices")),
    "heat-shrink": ("tool heat-gun", mark("Heat gun")),
    "label": ("tool label-printer", mark("Label printer")),
    "clamp": ("tool rivet", mark("Rivet tool for clamps")),
}
"""Kind of need -> the tool that it calls for beside crimp tools."""


def tools(keys: Iterable[str]) -> Iterator[TakeOff]:
    """One of every tool that these needs call for, and an extractor for each contact in use."""
    found: dict[str, str] = {}
    for need in keys:
        kind = need.partition(" ")[0]
        if kind == "terminal":
            found |= dict(_for_terminal(need))
        if kind in BESIDE:
            key, what = BESIDE[kind]
            found[key] = say(what)
    for key, what in found.items():
        yield TakeOff(key, what, 1, "piece")


def crimper(terminal: str) -> tuple[str, str] | None:
    """The crimp tool of a terminal such as 'terminal ring-M8 25 mm2'; None where none is known."""
    sort = terminal.split(" ")[1].partition("-")[0]
    large = sort == "ring" and area_mm2(terminal) >= LARGE_LUG_MM2
    found = LUG if large else CRIMPERS.get(sort)
    return (found[0], say(found[1])) if found else None


def _for_terminal(terminal: str) -> Iterator[tuple[str, str]]:
    """Its crimp tool, and what takes it out of its cavity again."""
    if tool := crimper(terminal):
        yield tool
    family = terminal.split(" ")[1]
    if family.partition("-")[0] in ("pin", "size"):
        yield f"tool extractor {family}", say("Extractor for {family} contacts", family=family)
