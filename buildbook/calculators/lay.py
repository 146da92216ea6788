"""Concentric lay-up of twisted wires: core, layers, fillers, lay length and cut lengths."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildbook.calculators.bend import bend_steps
from buildbook.calculators.groups import WIRES, Alike, groups_table, read_groups
from buildbook.calculators.model import (
    Amount,
    Answer,
    Calculator,
    Input,
    Mistake,
    Step,
    Table,
    Working,
)
from buildbook.calculators.reading import quantity
from buildbook.calculators.wire_inputs import FAMILY
from buildbook.harness.lay_up import LAY_TIMES, Layer, Strand, lay_up

LENGTH = Input(
    "length", quantity("m", above=0.0), "the length of the twisted harness, such as 5 ft", "1 m"
)
HELIX = "helix unrolled (geometry)"
MOST_UNLIKE = 40.0
LAY = f"lay of {LAY_TIMES:g} diameters; ASTM B8 allows 8 to 16 (memory)"


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Layers from the middle outwards, the thickest wires first, and what each turn takes up."""
    groups = read_groups(values["wires"], values["wire"])
    if isinstance(groups, tuple):
        return groups
    widths = [one.outside_mm for one in groups]
    if max(widths) > MOST_UNLIKE * min(widths):
        what = f"the thickest is more than {MOST_UNLIKE:g} times the thinnest"
        return (Mistake("wires", what, "", "lay the thin ones up by themselves"),)
    layers = lay_up(_strands(groups)).layers
    length = values["length"]
    steps: list[Step] = []
    inside = 0.0
    for number, layer in enumerate(layers):
        steps += _layer_steps(number, layer, inside, length)
        inside = layer.outside_mm
    outside = Amount(layers[-1].outside_mm, "mm")
    bends = bend_steps(outside)
    cut = [_cut_m(layer, length) for layer in layers]
    return Working(
        (*steps, *bends),
        (
            Answer("outside of the wires", outside),
            Answer("layers, core first", ", ".join(str(len(x.strands)) for x in layers)),
            Answer("fillers", Amount(sum(len(x.fillers_mm) for x in layers))),
            Answer("longest wire to cut", Amount(max(cut), "m")),
            Answer("least bend radius", bends[0].result),
            Answer("bend radius for good", bends[1].result),
        ),
        (groups_table(groups), _layers_table(layers, cut)),
        assumed=("the thickest wires lie in the middle",),
        notes=(
            "Cut lengths are of the twisted part alone: see `buildbook calc slack` for the ends.",
        ),
    )


def _strands(groups: list[Alike]) -> list[Strand]:
    thickest = sorted(groups, key=lambda one: -one.outside_mm)
    return [
        Strand((f"{one.what} {n + 1}",), one.outside_mm)
        for one in thickest
        for n in range(one.count)
    ]


def _name(number: int) -> str:
    return "core" if number == 0 else f"layer {number}"


def _cut_m(layer: Layer, length_m: float) -> float:
    return length_m * layer.take_up


def _layer_steps(number: int, layer: Layer, inside_mm: float, length_m: float) -> list[Step]:
    """Outside, lay and cut length of one layer; a core of one wire only has its diameter."""
    name, outside = _name(number), Amount(layer.outside_mm, "mm")
    thickest = Amount(max(s.diameter_mm for s in layer.strands), "mm")
    if number:
        steps = [
            Step(
                f"Outside of {name}",
                "inside + 2 x thickest wire",
                "{} + 2 x {}",
                (Amount(inside_mm, "mm"), thickest),
                outside,
                "geometry",
            )
        ]
    else:
        steps = [
            Step(
                "Outside of the core",
                "its wires packed in a circle",
                "{} wires",
                (Amount(len(layer.strands)),),
                outside,
                "geometry",
            )
        ]
    if not layer.lay_mm:
        return steps
    lay, pitch = Amount(layer.lay_mm, "mm"), Amount(layer.pitch_mm, "mm")
    return [
        *steps,
        Step(
            f"Length of one turn of {name}",
            f"{LAY_TIMES:g} x outside",
            f"{LAY_TIMES:g} x {{}}",
            (outside,),
            lay,
            LAY,
        ),
        Step(
            f"Length to cut for {name}",
            "length x sqrt(1 + (pi x diameter of the wires' middles / turn)^2)",
            "{} x sqrt(1 + (3.1416 x {} / {})^2)",
            (Amount(length_m, "m"), pitch, lay),
            Amount(_cut_m(layer, length_m), "m"),
            HELIX,
        ),
    ]


def _layers_table(layers: tuple[Layer, ...], cut_m: list[float]) -> Table:
    rows = []
    for number, (layer, cut) in enumerate(zip(layers, cut_m, strict=True)):
        count = len(layer.fillers_mm)
        fillers = f"{count} of {layer.fillers_mm[0]:g} mm" if count else ""
        turn = f"{layer.lay_mm:.4g} mm" if layer.lay_mm else ""
        rows.append(
            (
                _name(number),
                f"{len(layer.strands)}",
                fillers,
                f"{layer.outside_mm:.4g} mm",
                turn,
                layer.hand,
                f"{cut:.4g} m",
            )
        )
    columns = ("", "wires", "fillers", "outside", "turn", "hand", "cut")
    return Table("Layers, from the middle outwards", columns, tuple(rows))


CALCULATOR = Calculator(
    "lay",
    "core and layers of a twisted harness, and the length to cut",
    "Lays wires in a core and layers, each twisted the other way from the last, and gives the "
    "fillers, the length of one turn, and how much longer each layer must be cut.",
    "--wires 1 x 2.5 mm2, 18 x 0.5 mm2 --length 1.5 m",
    (WIRES, FAMILY, LENGTH),
    work,
)
