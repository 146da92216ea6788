"""The tools that the terminals, splices and seals call for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from buildbook.parts.entry import Entry
from buildbook.parts.spares import LARGE_LUG_MM2

CRIMPERS = {
    "pin": ("tool open-barrel", "Crimp tool for open-barrel contacts"),
    "blade": ("tool open-barrel", "Crimp tool for open-barrel contacts"),
    "size": ("tool four-indent", "Four-indent crimp tool for turned contacts"),
    "ring": ("tool ring", "Crimp tool for ring terminals up to 6 mm2"),
}
"""Start of a contact family -> the tool that crimps it. Common practice, no source."""

LUG = ("tool lug", "Hexagon crimp tool for lugs from 10 mm2")
BESIDE = {
    "wire": ("tool stripper", "Wire stripper"),
    "splice": ("tool splice", "Crimp tool for splices"),
    "heat-shrink": ("tool heat-gun", "Heat gun"),
    "label": ("tool label-printer", "Label printer"),
    "clamp": ("tool rivet", "Rivet tool for clamps"),
}
"""Kind of need -> the tool that it calls for beside crimp tools."""


def tools(entries: Iterable[Entry]) -> Iterator[Entry]:
    """One of every tool that these entries call for, and an extractor for each contact in use."""
    found: dict[str, str] = {}
    for entry in entries:
        kind, _, rest = entry.key.partition(" ")
        if kind == "terminal":
            found |= dict(_for_terminal(rest))
        if kind in BESIDE:
            key, what = BESIDE[kind]
            found[key] = what
    for key, what in found.items():
        yield Entry(key, what, 1, "piece")


def _for_terminal(rest: str) -> Iterator[tuple[str, str]]:
    """Tools for a terminal such as 'ring-M8 25 mm2' or 'pin-1.5 mate 0.5 mm2'."""
    family = rest.split(" ")[0]
    sort = family.partition("-")[0]
    if sort == "ring" and area_mm2(rest) >= LARGE_LUG_MM2:
        yield LUG
    elif sort in CRIMPERS:
        yield CRIMPERS[sort]
    if sort in ("pin", "size"):
        yield f"tool extractor {family}", f"Extractor for {family} contacts"


def area_mm2(text: str) -> float:
    """Area at the end of a key; 0 where it ends with a gauge number."""
    words = text.split(" ")
    return float(words[-2]) if words[-1] == "mm2" else 0.0
