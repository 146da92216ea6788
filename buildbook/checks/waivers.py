"""What the author has waived: which findings a waiver speaks of, and waivers that match none."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from buildbook.checks.model import Finding
from buildbook.checks.places import where_of
from buildbook.checks.stages import Assessed


def with_waivers(
    found: Iterable[Finding], assessed: Assessed
) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """Return the findings with the author's reasons, and a note for each waiver unused."""
    reasons = {(w.rule, w.about): w.because for w in assessed.vehicle.description.waivers}
    matched: set[tuple[str, str]] = set()
    marked = []
    for finding in found:
        own = [(finding.rule, name) for name in names_of(assessed, finding.about)]
        waived = [key for key in own if key in reasons]
        matched.update(waived)
        marked.append(replace(finding, waived=reasons[waived[0]]) if waived else finding)
    idle = tuple(
        Finding(
            "waiver-unused",
            "note",
            about,
            f"The waiver of {rule} for {about} matches no finding.",
            "Take the waiver out, or correct the names in it.",
            "this description",
            where_of(assessed.vehicle, about),
        )
        for rule, about in reasons
        if (rule, about) not in matched
    )
    return tuple(marked), idle


def names_of(assessed: Assessed, about: str) -> tuple[str, ...]:
    """What a waiver may call the thing that a finding is about, its own name first.

    Numbers of wires, splices and contacts of pass-throughs shift when a circuit is added; the
    circuit's name and the pins at the ends stay.
    """
    harness = assessed.harness
    wires = [harness.wires[about]] if about in harness.wires else []
    circuits = [wire.circuit for wire in wires]
    if about in harness.splices:
        circuits.append(harness.splices[about].circuit)
    elif "/" in about or about.endswith(".cap"):
        circuits += [harness.wires[wire].circuit for wire in harness.wire_at.get(about, ())]
    pins = [end.node for wire in wires for end in (wire.a, wire.b) if end.kind == "pin"]
    return tuple(dict.fromkeys((about, *circuits, *pins)))
