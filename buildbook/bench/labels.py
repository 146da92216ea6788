"""The labels of one harness: text and sleeve size for both ends of every wire."""

from __future__ import annotations

from buildbook.bench.model import WireLabel
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.harness.model import End, Wire
from buildbook.words.say import in_figures, say

SLEEVES_MM = (1.6, 2.4, 3.2, 4.8, 6.4, 9.5, 12.7, 19.1, 25.4)
"""Printable heat-shrink, two to one, bore as supplied in mm: SAE AMS-DTL-23053/5 inch sizes
(from memory)."""
EASE = 1.15
"""Bore over wire, so that a cut end goes through; common practice, no source."""


def wire_labels(bench: HarnessOnBench) -> tuple[WireLabel, ...]:
    """A label for each end, a then b, in the order of the wires' numbers."""
    found = []
    for wire in sorted(bench.wires, key=lambda w: w.id):
        sleeve = sleeve_for(bench.conductor(wire).outside_mm)
        for name, end, other in (("a", wire.a, wire.b), ("b", wire.b, wire.a)):
            found.append(WireLabel(wire, name, label_text(wire, end, other), sleeve))
    return tuple(found)


def label_text(wire: Wire, end: End, other: End) -> str:
    """Wire, where this end goes, and where it comes from: '204b ecu.A5 < S204'."""
    return f"{wire.id} {name_on_label(end)} < {name_on_label(other)}"


def name_on_label(end: End) -> str:
    """What an end is called on a label."""
    return say("cap {point}", point=end.point) if end.kind == "capped" else end.node


def sleeve_for(outside_mm: float) -> str:
    """The smallest sleeve that a wire goes through; it shrinks to half and so holds it."""
    fits = [size for size in SLEEVES_MM if size >= EASE * outside_mm]
    return f"{in_figures(f'{fits[0]:g}')} mm" if fits else say("flag label")
