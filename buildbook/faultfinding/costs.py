"""What each look, click, swap and probe costs: the seconds that a question is weighed by."""

from __future__ import annotations

from dataclasses import dataclass

OURS = "our choice"
PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Cost:
    """Seconds that something takes beside a parked car, what it is, and where that is from."""

    seconds: float
    what: str
    source: str


COSTS: dict[str, Cost] = {
    "read": Cost(90.0, "read the line, find the place, write the answer down, go on", OURS),
    "look": Cost(5.0, "see whether a lamp, a fan, a display works", OURS),
    "feel": Cost(20.0, "the back of a hand near every joint of a place", OURS),
    "click": Cost(10.0, "a finger on a relay while somebody turns the key", PRACTICE),
    "swap fuse": Cost(30.0, "pull a fuse, look through it, put a like one in", PRACTICE),
    "swap relay": Cost(40.0, "change a relay over with a like one", PRACTICE),
    "fuse top": Cost(20.0, "the probe on the top of a fuse; nothing is undone", PRACTICE),
    "stud": Cost(30.0, "the probe on a nut under its boot", OURS),
    "foot": Cost(45.0, "the probe beside a blade of a relay's foot", OURS),
    "plug": Cost(45.0, "the probe slid in from the wire side of a plug", PRACTICE),
    "half": Cost(60.0, "the same at a bulkhead connector", OURS),
    "splice": Cost(600.0, "cut a splice's cover open, and close it again", OURS),
    "swings": Cost(30.0, "watch a meter go up and down with a flasher", OURS),
    "ohms": Cost(90.0, "battery off, fuses and relays out, plugs undone", OURS),
    "bus ohms": Cost(60.0, "battery off, the meter across a pair of wires", OURS),
    "unplug": Cost(30.0, "take a device's plug off first", OURS),
    "live bus": Cost(400.0, "volts on a bus that talks: an average that says little", OURS),
    "at hand": Cost(0.0, "to reach in with the door open", OURS),
    "under the bonnet": Cost(40.0, "to open it and lean in", OURS),
    "behind a cover": Cost(180.0, "to take a trim or a cover off", OURS),
    "under the car": Cost(400.0, "to raise it, put stands under, crawl", OURS),
    "set": Cost(5.0, "key and switches as a state says, the engine still", OURS),
    "cranking": Cost(45.0, "a second person turns the engine", OURS),
    "running": Cost(60.0, "start the engine and let it idle", OURS),
    "drive": Cost(600.0, "engine speeds that nobody holds beside a parked car", OURS),
}
"""Name -> cost. What is not printed anywhere else is changed here alone."""


def seconds(name: str) -> float:
    """What one of `COSTS` takes."""
    return COSTS[name].seconds
