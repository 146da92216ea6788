"""The temperature of a conductor under its load, and its resistance there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Mistake, Working
from buildbook.calculators.wire_inputs import (
    CURRENT,
    FAMILY,
    SIZE,
    SURROUNDINGS,
    capacity_a,
    family_assumed,
    loaded_c,
    surroundings,
    wire_there,
)
from buildbook.calculators.wire_steps import copper_steps, heat_steps, overload_notes


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Capacity where the wire lies, then T2 = T1 + (TR - T1) sqrt(I2 / Imax)."""
    where, current = surroundings(values), values["current"]
    wire = wire_there(values["size"], values["wire"], where)
    if isinstance(wire, Mistake):
        return (wire,)
    first, *rest = copper_steps(wire, where, current, None)
    steps = (first, *heat_steps(wire, where), *rest)
    capacity, rated = capacity_a(wire, where), wire.family.rated_c
    at_c = loaded_c(wire, where, current)
    return Working(
        steps,
        (
            Answer("conductor temperature", Amount(at_c, "degC")),
            Answer("insulation stands", Amount(rated, "degC")),
            Answer("current capacity", Amount(capacity, "A")),
            Answer("resistance there", steps[-1].result),
            Answer("verdict", "carries it" if current <= capacity else "too hot"),
        ),
        assumed=family_assumed(wire, values["wire"]),
        notes=overload_notes(wire, where, current),
    )


CALCULATOR = Calculator(
    "temperature",
    "how hot a conductor gets, and what it may carry",
    "Current capacity of a wire where it lies (air, bundle, altitude), the temperature that "
    "its current brings it to, and the resistance of a metre at that temperature.",
    "--current 12 A --size AWG 16 --wire awg-etfe --ambient 70 degC --bundle 33 --loaded 20 %",
    (CURRENT, SIZE, FAMILY, *SURROUNDINGS),
    work,
)
