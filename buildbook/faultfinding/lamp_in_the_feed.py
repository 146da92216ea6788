"""What a test lamp in place of the battery's feed shows while the vehicle is well."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from buildbook.electrical.case import Case
from buildbook.electrical.laws.filament import Filament, filament
from buildbook.electrical.prepared import across
from buildbook.electrical.settle import Settler

TEST_LAMP_W = 21.0
"""Lamp of the lead through which the battery goes on first. Common practice, no source."""
LIGHT_EXPONENT = 3.4
"""Light by volts, of the rated ones (Fink and Beaty, Standard Handbook for Electrical Engineers,
11th edition, 22-8; read from a public page that cites it)."""
GLOWS, BRIGHT = 0.01, 0.5
"""Share of its rated light from which a lamp is seen to glow, and is taken for fully lit. Ours."""


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
    network = settler.prepared.network
    row = settler.prepared.row[feed]
    lit = replace(network.elements[row], law=lamp)
    elements = (*network.elements[:row], lit, *network.elements[row + 1 :])
    with_lamp = Settler(replace(network, elements=elements), settler.prepared.elimination)
    settled = with_lamp.settle(cases)
    volts = across(settled.volts, with_lamp.prepared.branch_ends[[row]])[0]
    return [
        "flickers" if hunts else look(lamp, float(v))
        for v, hunts in zip(volts, settled.unsettled, strict=True)
    ]
