"""Index of everything that has a name, and the list of effective pages."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.result import Result
from buildbook.words.in_order import natural
from buildbook.words.say import say

Entry = tuple[str, str, list[tuple[str, str]]]
"""Name, what it is, and the places to list as kind and name."""


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    vehicle, harness = result.vehicle, result.harness
    devices: list[Entry] = [
        (d.id, d.title, [("device", d.id), *(("connector", c.id) for c in d.connectors)])
        for d in vehicle.devices.values()
    ]
    circuits: list[Entry] = [
        (str(c.number), c.id, [("circuit", c.id)]) for c in vehicle.circuits.values()
    ]
    connectors: list[Entry] = [
        (c, "", [("connector", c)]) for c in harness.connectors if c not in vehicle.devices
    ]
    splices: list[Entry] = [(s, "", [("splice", s)]) for s in harness.splices]
    groups = (
        (say("Devices, fuses, relays and grounds"), 3, in_order(devices)),
        (say("Circuits, by which their wires are numbered"), 4, in_order(circuits)),
        (say("Connectors with names of their own"), 5, in_order(connectors)),
        (say("Splices"), 8, in_order(splices)),
    )
    title = say("Index, and list of effective pages")
    return (Chapter("index", title, "index.html", {"groups": groups}, lists_pages=True),)


def in_order(entries: list[Entry]) -> list[Entry]:
    """The entries from A to Z, with F2 before F10."""
    return sorted(entries, key=lambda entry: natural(entry[0]))
