"""How thick a bundle of wires is, what covers and clamps it, and how tightly it may bend."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from buildbook.calculators.bend import bend_steps
from buildbook.calculators.groups import WIRES, Alike, diameters, groups_table, read_groups
from buildbook.calculators.model import Amount, Answer, Calculator, Input, Mistake, Step, Working
from buildbook.calculators.reading import choice
from buildbook.calculators.wire_inputs import FAMILY
from buildbook.catalogue.load import clamps, sleeves
from buildbook.catalogue.model import Sleeve
from buildbook.harness.bundles import bundle_diameter_mm
from buildbook.harness.sleeves import cover_kg_per_m, fitting_clamp, fitting_sleeve, rope_mm

NONE = "none"
COVER = Input(
    "cover",
    choice((*dict.fromkeys(s.kind for s in sleeves().values()), NONE)),
    "what goes over it: braided sleeve, heat-shrink, tape or none",
    "braided sleeve",
)
PACKING = "smallest circle found round circles that do not overlap (geometry)"


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Diameter by packing the wires' circles; sleeve, clamp, bend and mass from that."""
    groups = read_groups(values["wires"], values["wire"])
    if isinstance(groups, tuple):
        return groups
    wires = diameters(groups)
    area, bare = _bare_steps(wires)
    kind = values["cover"]
    sleeve = None
    if kind != NONE:
        sleeve = fitting_sleeve(sleeves().values(), kind, bare.result.value)
    outside = _covered(bare.result, sleeve)
    clamp = fitting_clamp(clamps().values(), outside.result.value)
    mass = _mass(groups, sleeve, bare.result.value)
    bends = bend_steps(outside.result)
    answers = (
        Answer("bundle of wires", bare.result),
        Answer(
            "share of it that is wire",
            Amount(100 * (area.result.value / bare.result.value) ** 2, "%"),
        ),
        Answer("cover", sleeve.title if sleeve else NONE),
        Answer("outside", outside.result),
        Answer("clamp", clamp.title if clamp else "none so small or large in the catalogue"),
        Answer("least bend radius", bends[0].result),
        Answer("bend radius for good", bends[1].result),
        *([Answer("mass of a metre", mass.result)] if mass else []),
        Answer("rope to mock it up", Amount(rope_mm(outside.result.value), "mm")),
    )
    steps = (area, bare, outside, *([mass] if mass else []), *bends)
    return Working(steps, answers, (groups_table(groups),), notes=_notes(kind, sleeve, mass))


def _bare_steps(wires: list[float]) -> tuple[Step, Step]:
    square = math.fsum(d * d for d in wires)
    return (
        Step(
            "No bundle can be thinner than its wires' area",
            "sqrt(sum of outside diameter^2)",
            "sqrt({})",
            (Amount(square, "mm2"),),
            Amount(math.sqrt(square), "mm"),
            "geometry",
        ),
        Step(
            "Diameter of the bundle pulled tight",
            "circles of the wires packed in a circle",
            "{} circles",
            (Amount(len(wires)),),
            Amount(bundle_diameter_mm(wires), "mm"),
            PACKING,
        ),
    )


def _covered(bare: Amount, sleeve: Sleeve | None) -> Step:
    wall = sleeve.wall_mm if sleeve else 0.0
    source = sleeve.source if sleeve else "nothing over it"
    return Step(
        "Outside, with its cover",
        "bundle + 2 x wall of the cover",
        "{} + 2 x {}",
        (bare, Amount(wall, "mm")),
        Amount(bare.value + 2 * wall, "mm"),
        source,
    )


def _mass(groups: list[Alike], sleeve: Sleeve | None, bare_mm: float) -> Step | None:
    """Mass of a metre, where every wire's is known."""
    if any(one.kg_per_m is None for one in groups):
        return None
    wires = math.fsum(one.count * (one.kg_per_m or 0.0) for one in groups)
    cover = cover_kg_per_m(sleeve, bare_mm) if sleeve else 0.0
    return Step(
        "Mass of a metre",
        "sum of the wires + cover",
        "{} + {}",
        (Amount(wires, "kg/m"), Amount(cover, "kg/m")),
        Amount(wires + cover, "kg/m"),
        "catalogue",
    )


def _notes(kind: str, sleeve: Sleeve | None, mass: Step | None) -> tuple[str, ...]:
    notes = []
    if kind != NONE and sleeve is None:
        notes.append(
            f"No {kind} in the catalogue goes on so thin or thick a bundle: it counts as bare."
        )
    if mass is None:
        notes.append("No mass: it is known for wires, not for cables and diameters.")
    return tuple(notes)


CALCULATOR = Calculator(
    "bundle",
    "how thick a bundle is, and its sleeve, clamp, bend and rope",
    "Packs the wires' circles as tightly as they go and gives the diameter, the sleeve and the "
    "clamp that fit, the bend radius, the mass, and the rope that would mock it up.",
    "--wires 12 x 0.5 mm2, 3 x 2.5 mm2, 2 x 3.4 mm --cover braided sleeve",
    (WIRES, FAMILY, COVER),
    work,
)
