"""Holds what is printed of a state against what the circuit simulator finds."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.simulator.run import operating_point, transient
from tests.simulator.vehicle_deck import deck_of

WITHIN_V, WITHIN_SHARE = 0.02, 0.02
SETTLE_S, LOOK_S = 0.03, 0.1


@dataclass(frozen=True)
class Comparison:
    """Node -> printed and simulated volts where they disagree; how many were compared."""

    compared: int
    off: dict[str, tuple[float, float]]


def disagreements(
    written: dict[str, Any], built: dict[str, Any], state: str, folder: Path
) -> Comparison:
    """Mean volts of every node in a state: within 20 mV or 2 percent, whichever is more."""
    deck = deck_of(written, built, state)
    if deck.periods_s:
        simulated = transient(deck, folder, SETTLE_S, LOOK_S)
    else:
        simulated = operating_point(deck, folder)
    printed = built["states"][state]["node_volts"]
    off = {}
    for node, volts in printed.items():
        mean = simulated[node].mean
        if abs(volts - mean) > max(WITHIN_V, WITHIN_SHARE * abs(mean)):
            off[node] = (volts, mean)
    return Comparison(len(printed), off)
