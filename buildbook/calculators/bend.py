"""How tightly a wire or a bundle may be bent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Input, Mistake, Step, Working
from buildbook.calculators.reading import quantity
from buildbook.calculators.wire_inputs import FAMILY, SIZE, family_assumed, find_wire
from buildbook.harness.finishing import LASTING_BEND, LEAST_BEND

SOURCE = "NASA-STD-8739.4, 7.3, other than polyimide film"
OUTSIDE = Input(
    "outside",
    quantity("mm", above=0.0, most=1000.0),
    "the outside diameter with its cover, such as 14 mm or 0.55 in",
    optional=True,
)
ONE = Input(SIZE.name, SIZE.reader, "or a single wire, such as AWG 20", optional=True)
RADIUS = Input(
    "radius",
    quantity("mm", above=0.0),
    "a bend to judge, its radius on the inside, such as 60 mm or 2 in",
    optional=True,
)


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Six diameters at least, ten where it stays or moves; a bend held against both."""
    outside: float | None = values["outside"]
    assumed: tuple[str, ...] = ()
    idle = frozenset() if outside is None else frozenset({"wire"})
    if (outside is None) == (values["size"] is None):
        return (
            Mistake(
                "outside",
                "give either --outside or --size",
                "a bend is measured in outside diameters",
                "write for example --outside 14 mm",
            ),
        )
    if outside is None:
        wire = find_wire(values["size"], values["wire"])
        if isinstance(wire, Mistake):
            return (wire,)
        outside, assumed = wire.conductor.outside_mm, family_assumed(wire, values["wire"])
    steps = bend_steps(Amount(outside, "mm"))
    answers = [
        Answer("least bend radius", steps[0].result),
        Answer("bend radius for good", steps[1].result),
    ]
    if values["radius"] is not None:
        answers.append(Answer("verdict", _verdict(values["radius"], *(s.result for s in steps))))
    return Working(steps, tuple(answers), assumed=assumed, unused=idle)


def bend_steps(outside: Amount) -> tuple[Step, Step]:
    """The least radius, and the one for good, on the inside of the bend."""
    return (
        Step(
            "Least radius of a bend",
            f"{LEAST_BEND:g} x outside",
            f"{LEAST_BEND:g} x {{}}",
            (outside,),
            Amount(LEAST_BEND * outside.value, outside.unit),
            SOURCE,
        ),
        Step(
            "Radius where it stays bent or moves",
            f"{LASTING_BEND:g} x outside",
            f"{LASTING_BEND:g} x {{}}",
            (outside,),
            Amount(LASTING_BEND * outside.value, outside.unit),
            SOURCE,
        ),
    )


def _verdict(radius_mm: float, least: Amount, lasting: Amount) -> str:
    if radius_mm < least.value - 1e-9:
        return "too tight"
    if radius_mm < lasting.value - 1e-9:
        return "only while it is handled, not for good and not where it moves"
    return "wide enough for good"


CALCULATOR = Calculator(
    "bend",
    "the least bend radius of a wire or a bundle",
    "The radius, on the inside of the bend, under which a wire or bundle must never be bent, "
    "and the one that it may keep for good or move on.",
    "--outside 14 mm --radius 4 in",
    (OUTSIDE, ONE, FAMILY, RADIUS),
    work,
)
