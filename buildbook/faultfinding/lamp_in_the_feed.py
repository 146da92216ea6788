"""What a test lamp in place of the battery's feed shows while the vehicle is well."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from buildbook.electrical.case import Case
from buildbook.electrical.laws.filament import Filament, filament
from buildbook.electrical.settle import Settler

TEST_LAMP_W = 21.0
"""Lamp of the lead through which the battery goes on first. Common practice, no source."""
LIGHT_EXPONENT = 3.4
"""Light by volts, of the rated ones (Fink and Beaty, Standard Handbook for Electrical Engineers,
11th edition, 22-8; read from a public page that cites it)."""
GLOWS, BRIGHT = 0.01, 0.5
"""Share of its rated light from which a lamp is seen to glow, and is taken for fully lit. Ours."""
MOST_ROUNDS = 20
SETTLED_V = 0.05


def lamp_for(nominal_v: float) -> Filament:
    """The lamp for a vehicle of these nominal volts."""
    return filament(nominal_v, TEST_LAMP_W / nominal_v)


def look(lamp: Filament, volts: float) -> str:
    """How a lamp looks at these volts: dark, glows, bright."""
    light = (abs(volts) / lamp.rated_v) ** LIGHT_EXPONENT
    return "bright" if light >= BRIGHT else "glows" if light >= GLOWS else "dark"


def looks_of_test_lamp(
    settler: Settler, cases: Sequence[Case], feed: str, lamp: Filament
) -> list[str]:
    """How the lamp looks in each case, in place of the branch `feed`, which carries everything.

    'flickers' where it comes to no rest: what it starves lets go, and then has its volts again.
    """
    row = settler.prepared.row[feed]
    branch = settler.prepared.network.elements[row].branch
    ends = settler.prepared.index[branch.a], settler.prepared.index[branch.b]
    volts = np.zeros(len(cases))
    ohms = np.full(len(cases), lamp.cold_ohm)
    restless = np.ones(len(cases), dtype=bool)
    live = np.arange(len(cases))
    for _ in range(MOST_ROUNDS):
        lit = [replace(cases[at], ohms={feed: float(ohms[at])}) for at in live]
        settled = settler.settle(lit)
        padded = np.vstack([settled.volts, np.zeros(len(live))])
        across = np.abs(padded[ends[0]] - padded[ends[1]])
        moving = np.abs(across - volts[live]) >= SETTLED_V
        volts[live] = across
        ohms[live] = np.maximum(across, 1e-9) / lamp.current_a(np.maximum(across, 1e-9))
        restless[live] = moving | np.array([bool(found) for found in settled.unsettled])
        live = live[moving]
        if not len(live):
            break
    return [
        "flickers" if hunts else look(lamp, float(v))
        for v, hunts in zip(volts, restless, strict=True)
    ]
