"""Every piece of harness as it is dressed: thickness, cover, boots, clamps, mass and bends."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from buildbook.catalogue.load import boots, clamps, sleeves
from buildbook.catalogue.model import Boot, Clamp, Sleeve
from buildbook.harness.layup import LayUp, Strand, lay_up, take_up, wires_of
from buildbook.harness.leaving import from_the_middle, middle_mm, root_of, stays, strands
from buildbook.harness.model import Addend, Harness
from buildbook.harness.packing import Packing, pack
from buildbook.harness.sleeves import (
    cover_kg_per_m,
    fitting_boot,
    fitting_clamp,
    fitting_sleeve,
    rope_mm,
)
from buildbook.vehicle.model import Connector, Run, Vehicle

LEAST_BEND, LASTING_BEND = 6.0, 10.0
"""Radius of a bend over the bundle's outside diameter, least and for good: NASA-STD-8739.4,
paragraph 7.3, cable insulated with other than polyimide film."""


@dataclass(frozen=True)
class Dressed:
    """The harness along one run, finished."""

    run: str
    harness: str
    wires: tuple[str, ...]
    """In wire order; from the middle outwards where twisted."""
    strands: tuple[Strand, ...]
    """What was laid as one, in the order of the places."""
    packing: Packing | None
    """Where the strands lie side by side, mm; None where they are twisted."""
    lay_up: LayUp | None
    """Layers where they are twisted."""
    bare_mm: float
    """Diameter of the wires together."""
    cover: str
    """Kind of cover, 'none' without."""
    sleeve: Sleeve | None
    """None where there is no cover, or none in the catalogue goes on."""
    tight: bool
    """Whether the sleeve closes down onto the bundle; taped at its ends where it does not."""
    outside_mm: float
    """Diameter with the cover on."""
    clamp: Clamp | None
    """That holds it, whether or not the run has clamps; None where none is so thin or thick."""
    mass_kg: float
    """Of its length of wire and cover."""
    bend_mm: float | None
    """Radius of the tightest bend that the author recorded."""
    rope_mm: float
    """Rope that would have mocked it up truly."""

    @property
    def least_bend_mm(self) -> float:
        """Radius under which it must never be bent."""
        return LEAST_BEND * self.outside_mm

    @property
    def lasting_bend_mm(self) -> float:
        """Radius that it may keep for good, and that it may move on."""
        return LASTING_BEND * self.outside_mm


@dataclass(frozen=True)
class Booted:
    """The boot of a connector that takes one."""

    connector: str
    over_mm: float
    onto_mm: float
    boot: Boot | None
    """None where none goes on over the shell and closes on the bundle."""


def dress(
    vehicle: Vehicle,
    harness: Harness,
    outside_mm: Mapping[str, float],
    kg_per_m: Mapping[str, float],
) -> dict[str, Dressed]:
    """Run id -> the piece of harness along it, for every run that has wires.

    `outside_mm` and `kg_per_m` are the outside diameter and the mass of a metre of each wire.
    """
    found: dict[str, Dressed] = {}
    for name in dict.fromkeys(run.harness for run in vehicle.runs):
        runs = [run for run in vehicle.runs if run.harness == name]
        held = {run.id: harness.bundles[run.id].wires for run in runs if run.id in harness.bundles}
        runs = [run for run in runs if held.get(run.id)]
        laid = _strands(vehicle, harness, runs, held, outside_mm)
        order = _laid(harness, name, runs, held, laid)
        for run in runs:
            found[run.id] = _dressed(vehicle, run, order[run.id], kg_per_m)
    return {run.id: found[run.id] for run in vehicle.runs if run.id in found}


def _strands(
    vehicle: Vehicle,
    harness: Harness,
    runs: Sequence[Run],
    held: Mapping[str, Sequence[str]],
    outside_mm: Mapping[str, float],
) -> dict[str, tuple[Strand, ...]]:
    types = {name: cable.type for name, cable in vehicle.description.cables.items()}
    return {
        run.id: strands([harness.wires[w] for w in held[run.id]], outside_mm, types)
        for run in runs
    }  # fmt: skip


def _laid(
    harness: Harness,
    name: str,
    runs: Sequence[Run],
    held: Mapping[str, Sequence[str]],
    laid: Mapping[str, tuple[Strand, ...]],
) -> dict[str, tuple[Strand, ...]]:
    """Strands of every run: as they are where side by side, from the middle where twisted."""
    if not any(run.concentric for run in runs):
        return dict(laid)
    own = [wire for wire in harness.wires.values() if wire.harness == name]
    stay = stays(runs, held, root_of(runs, own))
    middle = middle_mm(strand for found in laid.values() for strand in found)
    return {
        run.id: from_the_middle(laid[run.id], stay.get(run.id, {}), middle)
        if run.concentric
        else laid[run.id]
        for run in runs
    }


def _dressed(
    vehicle: Vehicle, run: Run, order: tuple[Strand, ...], kg_per_m: Mapping[str, float]
) -> Dressed:
    twisted = lay_up(order) if run.concentric and len(order) > 1 else None
    packing = None if twisted else pack([strand.diameter_mm / 2 for strand in order])
    bare = twisted.outside_mm if twisted else 2 * packing.radius if packing else 0.0
    cover = vehicle.description.rope[run.harness].cover
    sleeve, tight = _cover(cover, bare)
    outside = bare + (2 * sleeve.wall_mm if sleeve else 0.0)
    along = turns(twisted)
    wires = wires_of(twisted.layers) if twisted else _in_order(order)
    mass = sum(kg_per_m[wire] * along.get(wire, 1.0) for wire in wires)
    mass += cover_kg_per_m(sleeve, bare) if sleeve else 0.0
    return Dressed(
        run=run.id,
        harness=run.harness,
        wires=wires,
        strands=order,
        packing=packing,
        lay_up=twisted,
        bare_mm=bare,
        cover=cover,
        sleeve=sleeve,
        tight=tight,
        outside_mm=outside,
        clamp=fitting_clamp(clamps().values(), outside),
        mass_kg=mass * run.length_m,
        bend_mm=None if run.bend_m is None else 1000 * run.bend_m,
        rope_mm=rope_mm(outside),
    )


def _in_order(order: Sequence[Strand]) -> tuple[str, ...]:
    return tuple(wire for strand in order for wire in strand.wires)


def _cover(kind: str, bare_mm: float) -> tuple[Sleeve | None, bool]:
    """The sleeve that goes on and closes down, or the smallest that only goes on."""
    tight = fitting_sleeve(sleeves().values(), kind, bare_mm)
    if tight:
        return tight, True
    loose = [s for s in sleeves().values() if s.kind == kind and s.largest_mm >= bare_mm]
    return min(loose, key=lambda s: (s.largest_mm, s.id), default=None), False


def turns(found: LayUp | None) -> dict[str, float]:
    """Wire id -> length of the wire over length of the harness, by the layer that it lies in."""
    return {
        wire: take_up(layer.lay_mm, layer.pitch_mm)
        for layer in (found.layers if found else ())
        for strand in layer.strands
        for wire in strand.wires
    }


def with_lay(vehicle: Vehicle, harness: Harness, dressed: Mapping[str, Dressed]) -> Harness:
    """The harness with what each wire's own layers take up in place of the first guess.

    Lengths of wires that exist already stay as they were built.
    """
    along = {run: turns(piece.lay_up) for run, piece in dressed.items()}
    length = {run.id: run.length_m for run in vehicle.runs}
    wires = {}
    for wire in harness.wires.values():
        more = sum(length[run] * (along[run].get(wire.id, 1.0) - 1.0) for run in wire.runs)
        rope, *others = wire.addends
        lay = [Addend("lay of the twisted layers", round(more, 6), "lay")] if more > 0 else []
        parts = (rope, *lay, *(part for part in others if part.kind != "lay"))
        wires[wire.id] = replace(wire, addends=parts) if rope.kind == "rope" else wire
    return replace(harness, wires=wires)


def booted(
    harness: Harness, outside_mm: Mapping[str, float], types: Mapping[str, str]
) -> tuple[Booted, ...]:
    """The boot of every connector whose plug says how wide the back of its shell is.

    `types` is the type of each cable, by name.
    """
    found = []
    for connector in harness.connectors.values():
        onto = tail_mm(harness, connector, outside_mm, types)
        if connector.plug.shell and onto:
            over = 1000 * connector.plug.shell
            boot = fitting_boot(boots().values(), over, onto)
            found.append(Booted(connector.id, over, onto, boot))
    return tuple(found)


def tail_mm(
    harness: Harness,
    connector: Connector,
    outside_mm: Mapping[str, float],
    types: Mapping[str, str],
) -> float:
    """Diameter of the wires that go into a connector."""
    wires = [
        wire
        for wire in harness.wires.values()
        if connector.id in (wire.a.connector, wire.b.connector)
    ]
    return 2 * pack([s.diameter_mm / 2 for s in strands(wires, outside_mm, types)]).radius
