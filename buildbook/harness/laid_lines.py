"""The trunk and the branches of a twisted harness, each laid in layers from end to end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from buildbook.as_built.look_up import built_wires
from buildbook.harness.cables import cable_types, strands
from buildbook.harness.lay_along import lay_along, with_more
from buildbook.harness.lay_up import Layer, LayUp, Strand
from buildbook.harness.laying_lines import LayingLine, laying_lines
from buildbook.harness.model import Harness
from buildbook.harness.places import Laying, Stay, lay_up_at
from buildbook.vehicle.model import Vehicle


@dataclass(frozen=True)
class LaidLine:
    """A line of rope and how it is laid."""

    line: LayingLine
    stays: tuple[Stay, ...]
    laying: Laying

    def lay_ups(self, harness: Harness) -> dict[str, LayUp]:
        """Run id -> its layers, for every run with two strands and more that has any."""
        found = {}
        for section, run in enumerate(self.line.runs):
            layers = _only(lay_up_at(self.laying, section), harness.bundles[run].wires)
            if len(layers.strands) > 1:
                found[run] = layers
        return found


def laid_lines(
    vehicle: Vehicle, harness: Harness, outside_mm: Mapping[str, float], name: str
) -> tuple[LaidLine, ...]:
    """Every line of one harness that has wires, laid; `outside_mm` is that of each wire.

    Where the harness exists already its twist stays: what is new is led outside of it.
    """
    types = cable_types(vehicle)
    runs = [run for run in vehicle.runs if run.harness == name]
    held = {run.id: harness.wires_along(run.id) for run in runs}
    own = [wire for wire in harness.wires.values() if wire.harness == name]
    built = built_wires(vehicle.as_built)
    old = [wire for wire in own if wire.id in built] or own
    first = {wire.id for wire in old}
    twisted = {run: tuple(w for w in wires if w in first) for run, wires in held.items()}
    found = []
    for line in laying_lines(runs, twisted, old):
        ids = dict.fromkeys(wire for run in line.runs for wire in held[run])
        pieces = strands([harness.wires[wire] for wire in ids], outside_mm, types)
        stays = tuple(_stay(line, piece, held) for piece in pieces)
        there = [stay for stay in stays if first & set(stay.strand.wires)]
        if there:
            new = [stay for stay in stays if stay not in there]
            laying = with_more(lay_along(there, line.lengths_m), new)
            found.append(LaidLine(line, stays, laying))
        elif stays:
            found.append(LaidLine(line, stays, lay_along(stays, line.lengths_m)))
    return tuple(found)


def _stay(line: LayingLine, strand: Strand, held: Mapping[str, Sequence[str]]) -> Stay:
    there = [n for n, run in enumerate(line.runs) if set(strand.wires) & set(held[run])]
    enters, leaves = there[0], there[-1] + 1
    return Stay(strand, enters, leaves, line.at_m(leaves) - line.at_m(enters))


def _only(found: LayUp, held: Sequence[str]) -> LayUp:
    """The layers with, of every cable, the wires that are still in this run."""
    return LayUp(tuple(_narrowed(layer, held) for layer in found.layers))


def _narrowed(layer: Layer, held: Sequence[str]) -> Layer:
    seats = tuple(
        replace(
            seat,
            strand=seat.strand
            and replace(
                seat.strand, wires=tuple(wire for wire in seat.strand.wires if wire in held)
            ),
        )
        for seat in layer.seats
    )
    return replace(layer, seats=seats)
