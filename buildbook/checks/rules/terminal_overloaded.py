"""Finds terminals that a wire does not fit, by its current or by its conductor."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.catalogue.load import contact_families
from buildbook.catalogue.model import ContactFamily
from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.harness.model import End, Wire
from buildbook.sizing.model import WireSizing
from buildbook.words.say import in_figures, say

RULE = "terminal-overloaded"
SEVERITY = "error"
SOURCE = "the current and the wire that a contact family takes, from the catalogue of contacts"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare each wire's heating current and conductor with the contacts at its ends."""
    for wire in assessed.harness.wires.values():
        current, state = assessed.solved.wire_current(wire.id)
        for end in (wire.a, wire.b):
            family = contact_families().get(end.contact)
            if family is None:
                continue
            if current > family.amps + 1e-9:
                yield Finding(
                    RULE,
                    "error",
                    end.node,
                    say(
                        "The {family} at {node} carries {current:.1f} A from wire {wire} in "
                        "'{state}'; it is good for {amps:g} A.",
                        family=say(family.title),
                        node=end.node,
                        current=current,
                        wire=wire.id,
                        state=state,
                        amps=family.amps,
                    ),
                    _larger(end),
                    say(family.source),
                    assessed.vehicle.circuits[wire.circuit].where,
                )
            yield from _misfit(assessed, wire, end, family)


def _misfit(assessed: Assessed, wire: Wire, end: End, family: ContactFamily) -> Iterator[Finding]:
    """A conductor that the crimp of the contact does not take."""
    sized = assessed.sizing.wires.get(wire.id)
    if sized is None or family.smallest_mm2 <= sized.area_mm2 + 1e-6 <= family.largest_mm2 + 2e-6:
        return
    yield Finding(
        RULE,
        "error",
        end.node,
        say(
            "The {family} at {node} does not take wire {wire} of {size}: it is for "
            "{smallest_mm2:g} to {largest_mm2:g} mm2.",
            family=say(family.title),
            node=end.node,
            wire=wire.id,
            size=in_figures(sized.label),
            smallest_mm2=family.smallest_mm2,
            largest_mm2=family.largest_mm2,
        ),
        _fitting(end, sized, sized.area_mm2 > family.largest_mm2),
        say(family.source),
        assessed.vehicle.circuits[wire.circuit].where,
    )


def _is_in_plug(end: End) -> bool:
    return bool(end.connector) or end.kind != "pin"


def _larger(end: End) -> str:
    if _is_in_plug(end):
        return say("Use a larger contact, or share the current between several pins.")
    return say(
        "Use a larger contact (`contact` of the pin, or of {device} for all its pins), or share "
        "the current between several pins.",
        device=end.node.rpartition(".")[0],
    )


def _fitting(end: End, sized: WireSizing, is_too_thick: bool) -> str:
    """Another contact; where heat asks for a thick wire, what makes a thinner one do."""
    if _is_in_plug(end):
        remedy = say(
            "Give the cavity another contact (`contacts` of the plug type), or move "
            "the circuit to one that fits (`carries` of a pass-through)."
        )
    else:
        remedy = say(
            "Give the pin a contact that takes it (`contact` of the pin, or of {device} for all "
            "its pins).",
            device=end.node.rpartition(".")[0],
        )
    if is_too_thick and sized.governing == "heat":
        remedy += say(
            " It is heat that asks for the size: a cooler way, fewer wires beside it or a family "
            "that stands more heat (`family`) lets it be thinner."
        )
    return remedy
