"""Which cautions a vehicle needs: a trailer has no fuel, and nothing of it cranks."""

from __future__ import annotations

from buildbook.vehicle.model import Vehicle
from buildbook.words.say import say

OF_AN_ENGINE = frozenset({"fuel", "cranking", "hot", "moving", "ignition"})
"""What every engine brings, whatever of it is wired."""
ENGINE_PARTS = ("starter", "ignition coil", "injector", "magneto")
MOVES = ("motor", "fan", "pump")
ALWAYS = frozenset({"battery", "lifting"})


def caution_words() -> dict[str, str]:
    """Kinds of caution with what each is called where it is only named."""
    return {
        "fuel": say("fuel", context="caution"),
        "cranking": say("cranking", context="caution"),
        "hot": say("hot", context="caution"),
        "moving": say("moving", context="caution"),
        "ignition": say("ignition", context="caution"),
        "battery": say("battery", context="caution"),
        "lifting": say("lifting", context="caution"),
        "running": say("running", context="caution"),
        "fire": say("fire", context="caution"),
    }


def dangers_of(vehicle: Vehicle) -> frozenset[str]:
    """Kinds of caution, as `words` of `building_blocks.html` has them."""
    found = set(ALWAYS)
    found |= {d.written.caution for d in vehicle.devices.values() if d.written.caution}
    kinds = {device.kind for device in vehicle.devices.values()}
    if kinds & {*MOVES}:
        found.add("moving")
    runs = any(state.engine > 0 for state in vehicle.description.states.values())
    if runs or kinds & {*ENGINE_PARTS}:
        found |= OF_AN_ENGINE
    return frozenset(found)
