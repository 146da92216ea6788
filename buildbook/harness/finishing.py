"""Every piece of harness as it is finished: thickness, cover, boots, clamps, mass and bends."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from buildbook.catalogue.load import boots, clamps, sleeves
from buildbook.catalogue.model import Boot, Clamp, Sleeve
from buildbook.harness.as_built import harness_as_built
from buildbook.harness.bundles import bundle_diameter_mm
from buildbook.harness.cables import cable_types, even_cores, strands
from buildbook.harness.laid_lines import laid_lines
from buildbook.harness.lay_up import LayUp, Strand
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
LAY_STEP_M = 0.005
"""To which the take-up of layers is rounded up, so that a strand's place may be a little off."""


@dataclass(frozen=True)
class FinishedRun:
    """The harness along one run, finished."""

    run: str
    harness: str
    strands: tuple[Strand, ...]
    """What was laid as one, in the order of the places; from the middle outwards where twisted."""
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
    def wires(self) -> tuple[str, ...]:
        return tuple(wire for strand in self.strands for wire in strand.wires)

    @property
    def least_bend_mm(self) -> float:
        """Radius under which it must never be bent."""
        return LEAST_BEND * self.outside_mm

    @property
    def lasting_bend_mm(self) -> float:
        """Radius that it may keep for good, and that it may move on."""
        return LASTING_BEND * self.outside_mm


@dataclass(frozen=True)
class ConnectorBoot:
    """The boot of a connector that takes one."""

    connector: str
    over_mm: float
    onto_mm: float
    boot: Boot | None
    """None where none goes on over the shell and closes on the bundle."""


def finish_runs(
    vehicle: Vehicle,
    harness: Harness,
    outside_mm: Mapping[str, float],
    kg_per_m: Mapping[str, float],
) -> dict[str, FinishedRun]:
    """Run id -> the piece of harness along it, for every run that has wires.

    `outside_mm` and `kg_per_m` are the outside diameter and the mass of a metre of each wire.
    """
    types = cable_types(vehicle)
    twisted = lay_ups(vehicle, harness, outside_mm)
    finished = {}
    for run in vehicle.runs:
        held = harness.wires_along(run.id)
        if held:
            found = strands([harness.wires[wire] for wire in held], outside_mm, types)
            finished[run.id] = _finished(vehicle, run, found, twisted.get(run.id), kg_per_m)
    return finished


def lay_ups(
    vehicle: Vehicle, harness: Harness, outside_mm: Mapping[str, float]
) -> dict[str, LayUp]:
    """Run id -> its layers, for every run of two strands and more that is laid in layers."""
    return {
        run: layers
        for name in dict.fromkeys(run.harness for run in vehicle.runs if run.concentric)
        for laid in laid_lines(vehicle, harness, outside_mm, name)
        for run, layers in laid.lay_ups(harness).items()
    }


def _finished(
    vehicle: Vehicle,
    run: Run,
    found: tuple[Strand, ...],
    twisted: LayUp | None,
    kg_per_m: Mapping[str, float],
) -> FinishedRun:
    order = twisted.strands if twisted else found
    packing = None if twisted else pack([strand.diameter_mm / 2 for strand in order])
    bare = twisted.outside_mm if twisted else 2 * packing.radius if packing else 0.0
    cover = vehicle.description.rope[run.harness].cover
    sleeve, tight = _cover(cover, bare)
    outside = bare + (2 * sleeve.wall_mm if sleeve else 0.0)
    along = turns(twisted)
    mass = math.fsum(
        kg_per_m[wire] * along.get(wire, 1.0) for strand in order for wire in strand.wires
    )
    mass += cover_kg_per_m(sleeve, bare) if sleeve else 0.0
    return FinishedRun(
        run=run.id,
        harness=run.harness,
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
        wire: layer.take_up
        for layer in (found.layers if found else ())
        for strand in layer.strands
        for wire in strand.wires
    }


def with_take_up(
    vehicle: Vehicle, harness: Harness, found: Mapping[str, LayUp], at_least: bool = False
) -> Harness:
    """The harness with what each wire's own layers take up, to the next 5 mm, as its lay.

    It stands in place of the first guess, or of what was worked out before, which with
    `at_least` stays where it is more. Lengths of wires that exist already stay as built.
    """
    along = {run: turns(layers) for run, layers in found.items()}
    length = {run.id: run.length_m for run in vehicle.runs}
    wires = {}
    for wire in harness.wires.values():
        more = math.fsum(
            length[run] * (along[run][wire.id] - 1.0) for run in wire.runs if run in along
        )
        lay = math.ceil(more / LAY_STEP_M - 1e-9) * LAY_STEP_M
        if at_least:
            lay = max(lay, math.fsum(part.length_m for part in wire.addends if part.kind == "lay"))
        rope, *others = wire.addends
        added = [Addend("lay of the twisted layers", round(lay, 6), "lay")] if lay else []
        parts = (rope, *added, *(part for part in others if part.kind != "lay"))
        wires[wire.id] = replace(wire, addends=parts) if rope.kind == "rope" else wire
    return harness_as_built(vehicle.as_built, replace(harness, wires=even_cores(wires)))


def connector_boots(
    harness: Harness, outside_mm: Mapping[str, float], types: Mapping[str, str]
) -> tuple[ConnectorBoot, ...]:
    """The boot of every connector whose plug says how wide the back of its shell is.

    `types` is the type of each cable, by name.
    """
    found: list[ConnectorBoot] = []
    for connector in harness.connectors.values():
        onto = tail_mm(harness, connector, outside_mm, types)
        if connector.plug.shell and onto:
            over = 1000 * connector.plug.shell
            boot = fitting_boot(boots().values(), over, onto)
            found.append(ConnectorBoot(connector.id, over, onto, boot))
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
    return bundle_diameter_mm([s.diameter_mm for s in strands(wires, outside_mm, types)])
