"""Holds what is printed of a state against what the circuit simulator finds, kind by kind."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.simulator.run import Reading, operating_point, transient
from tests.simulator.supplies import batteries, earthed_post
from tests.simulator.vehicle_deck import deck_of

Row = dict[str, Any]
WITHIN_V, WITHIN_SHARE = 0.02, 0.02
SETTLE_S, LOOK_S = 0.03, 0.1
SWINGS_V = 0.3
"""From here on the simulator's own pulses say between what a place moves."""
NO_VOLTS = ("floating", "alternating", "unsettled")
"""Kinds of reading with nothing to compare at an operating point."""


@dataclass(frozen=True)
class Comparison:
    """How many places were compared, by kind, and those that disagree: printed and simulated."""

    kinds: Counter[str]
    off: dict[str, tuple[Row, Reading]]


def disagreements(
    written: dict[str, Any], built: dict[str, Any], state: str, folder: Path
) -> Comparison:
    """Every printed place in a state: each value within 20 mV or 2 percent, the more of them."""
    deck = deck_of(written, built, state)
    if deck.periods_s:
        simulated = transient(deck, folder, SETTLE_S, LOOK_S)
    else:
        simulated = operating_point(deck, folder)
    kinds, off = Counter[str](), {}
    for row in built["meter_readings"]:
        if row["state"] != state:
            continue
        kinds[row["kind"]] += 1
        if row["kind"] in NO_VOLTS and row["rms_v"] is None:
            continue
        found = shown(written, simulated[node_of(written, row["place"], simulated)])
        if not (agrees_rms(row, found) if row["rms_v"] is not None else agrees(row, found)):
            off[row["place"]] = (row, found)
    return Comparison(kinds, off)


def node_of(written: dict[str, Any], place: str, simulated: dict[str, Reading]) -> str:
    """Where a probe meets a pin: on its wire, but a fuse on its top and a battery on its posts."""
    device = written["devices"].get(place.partition(".")[0], {})
    posts = [post for battery in batteries(written) for post in battery["between"]]
    behind = device.get("kind") == "fuse" or place in posts or place not in simulated
    return f"{place}~" if behind else place


def shown(written: dict[str, Any], found: Reading) -> Reading:
    """What a meter shows: with the plus on the body its red lead is there."""
    if earthed_post(written) not in {battery["between"][0] for battery in batteries(written)}:
        return found
    return Reading(-found.mean, -found.high, -found.low)


def agrees(row: Row, found: Reading) -> bool:
    """Whether a printed reading is what the simulator has: its one value, or both its ends."""
    low, high = row["lower_nominal"], row["upper_nominal"]
    if row["kind"] == "steady":
        return near(row["volts_nominal"], found.mean)
    if row["kind"] == "between" and found.high - found.low < SWINGS_V:
        return low - WITHIN_V <= found.mean <= high + WITHIN_V
    mean = row["kind"] != "average" or near(row["volts_nominal"], found.mean)
    return mean and near(low, found.low) and near(high, found.high)


def near(printed: float, simulated: float) -> bool:
    return abs(printed - simulated) <= max(WITHIN_V, WITHIN_SHARE * abs(simulated))


def agrees_rms(row: Row, found: Reading) -> bool:
    """What alternates stands in the deck as its root mean square."""
    return abs(abs(found.mean) - row["rms_v"]) <= max(WITHIN_V, WITHIN_SHARE * row["rms_v"])
