"""The longest run of a wire that keeps a drop, at 20 degC and corrected for temperature."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Mistake, Step, Working
from buildbook.calculators.wire_inputs import (
    ALLOW,
    CONDUCTOR,
    CURRENT,
    FAMILY,
    RETURN,
    SIZE,
    SURROUNDINGS,
    SYSTEM,
    copper_c,
    copper_length_m,
    family_assumed,
    surroundings,
    wire_there,
)
from buildbook.calculators.wire_steps import (
    COPPER_C,
    FROM_20_C,
    OHM,
    TEMPERATURE,
    allowance_step,
    copper_steps,
    overload_notes,
)
from buildbook.sizing.heat_balance import resistance_ratio


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Metres from source to load: L1 with cold copper, then L2 = 254.5 L1 / (234.5 + T2)."""
    where, current = surroundings(values), values["current"]
    wire = wire_there(values["size"], values["wire"], where)
    if isinstance(wire, Mistake):
        return (wire,)
    at_c = copper_c(wire, where, current, values["conductor"])
    allowed = allowance_step(values)
    cold_ohms = Amount(wire.conductor.ohm_per_m_20c, "ohm/m")
    cold = Amount(allowed.result.value / (current * cold_ohms.value), "m")
    warm = Amount(cold.value / resistance_ratio(at_c), "m")
    times = copper_length_m(1.0, values["return"])
    run = Amount(warm.value / times, "m")
    steps = (
        allowed,
        Step(
            "Length of wire that loses as much at 20 degC",
            "allowed drop / (current x resistance of a metre at 20 degC)",
            "{} / ({} x {})",
            (allowed.result, Amount(current, "A"), cold_ohms),
            cold,
            f"{OHM}; {wire.family.id}: {wire.conductor.how}",
        ),
        *copper_steps(wire, where, current, values["conductor"])[:-1],
        Step(
            "The same with the copper at its own temperature",
            f"{FROM_20_C} x length at 20 degC / ({COPPER_C} + temperature)",
            f"{FROM_20_C} x {{}} / ({COPPER_C} + {{}})",
            (cold, Amount(at_c, "degC")),
            warm,
            f"{TEMPERATURE}, run length",
        ),
        Step(
            "Run from source to load",
            "length of wire / 2, there and back" if times == 2 else "length of wire; no wire back",
            "{} / {}",
            (warm, Amount(times)),
            run,
            "geometry",
        ),
    )
    return Working(
        steps,
        (
            Answer("longest run", run),
            Answer("longest run at 20 degC", Amount(cold.value / times, "m")),
            Answer("conductor temperature", Amount(at_c, "degC")),
        ),
        assumed=family_assumed(wire, values["wire"]),
        notes=overload_notes(wire, where, current),
    )


CALCULATOR = Calculator(
    "length",
    "the longest run that keeps a voltage drop",
    "How far a wire reaches before its drop is more than is allowed: first with the copper "
    "at 20 degC, then corrected for the temperature that the current brings it to.",
    "--current 20 A --size AWG 10 --wire awg-etfe --system 28 V --allow 1 V --return body",
    (CURRENT, SIZE, FAMILY, RETURN, SYSTEM, ALLOW, *SURROUNDINGS, CONDUCTOR),
    work,
)
