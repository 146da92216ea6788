"""How hot a conductor gets in time: an overload that lasts, or a load that comes and goes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Input, Mistake, Step, Working
from buildbook.calculators.reading import quantity
from buildbook.calculators.wire_inputs import (
    AMBIENT,
    FAMILY,
    SIZE,
    Surroundings,
    Wire,
    family_assumed,
    ohm_per_m,
    wire_there,
)
from buildbook.calculators.wire_steps import HEAT, resistance_step
from buildbook.catalogue.copper import J_PER_M3_K
from buildbook.sizing.ampacity import free_air_a
from buildbook.sizing.heat_balance import heat_w_per_m, store_j_per_m_k
from buildbook.sizing.transient_heating import (
    cooled_c,
    intermittent_a,
    overload_a,
    temperature_after_c,
    time_to_s,
)

IN_TIME = "copper's heat against its loss at each temperature, stretch by stretch"
CURRENT = Input("current", quantity("A", above=0.0), "the current while it flows, such as 30 A")
TIME = Input("time", quantity("s", above=0.0), "how long it flows at a stretch, such as 10 s")
REST = Input(
    "rest",
    quantity("s", above=0.0),
    "how long it rests before it flows again, such as 2 min; not given: it flows once",
    optional=True,
)


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Temperature after the time, and the currents that the wire stands so long."""
    alone = Surroundings(values["ambient"], 1, 1.0, 0.0)
    wire = wire_there(values["size"], values["wire"], alone)
    if isinstance(wire, Mistake):
        return (wire,)
    steps = (*_balance(wire, values["ambient"]), *_in_time(wire, values))
    most = steps[-1].result.value
    passes = values["current"] > most
    note = (
        f"CAUTION: {values['current']:.4g} A brings this wire above "
        f"{wire.family.rated_c:g} degC. A wire overheated so burns: take a thicker one.",
    )
    lasts = time_to_s(wire.conductor, values["current"], wire.family.rated_c, values["ambient"])
    return Working(
        steps,
        (
            Answer("temperature after the time", steps[4].result),
            Answer("insulation stands", Amount(wire.family.rated_c, "degC")),
            Answer(
                "time to that, from cold", Amount(lasts, "s") if math.isfinite(lasts) else "never"
            ),
            Answer("largest current", steps[-1].result),
            Answer("verdict", "too hot" if passes else "stands it"),
        ),
        assumed=(*family_assumed(wire, values["wire"]), "alone in still air"),
        notes=note if passes else (),
    )


def _balance(wire: Wire, ambient_c: float) -> tuple[Step, ...]:
    conductor, rated = wire.conductor, wire.family.rated_c
    heat = Amount(heat_w_per_m(conductor, rated, ambient_c), "W/m")
    store = Amount(store_j_per_m_k(conductor), "J/(m K)")
    per_mm3 = J_PER_M3_K / 1e6
    return (
        resistance_step(wire, rated, "at the insulation's limit"),
        Step(
            "Current for ever, alone in still air",
            "sqrt(heat shed / resistance of a metre)",
            "sqrt({} / {})",
            (heat, Amount(ohm_per_m(wire, rated), "ohm/m")),
            Amount(free_air_a(conductor, rated, ambient_c), "A"),
            HEAT,
        ),
        Step(
            "Heat that a metre of copper takes up for each degree",
            f"copper x {per_mm3:g} J/(cm3 K)",
            f"{{}} x {per_mm3:g}",
            (Amount(conductor.copper_mm2, "mm2"),),
            store,
            "IEC 60949, copper",
        ),
        Step(
            "Time constant: the longer against it, the nearer to for ever",
            "heat taken up x rise / heat shed",
            "{} x ({} - {}) / {}",
            (store, Amount(rated, "degC"), Amount(ambient_c, "degC"), heat),
            Amount(store.value * (rated - ambient_c) / heat.value, "s"),
            "heat balance",
        ),
    )


def _in_time(wire: Wire, values: Mapping[str, Any]) -> tuple[Step, ...]:
    conductor, rated = wire.conductor, wire.family.rated_c
    ambient, current, time = values["ambient"], values["current"], values["time"]
    reached = temperature_after_c(conductor, current, ambient, time)
    air, limit, on = Amount(ambient, "degC"), Amount(rated, "degC"), Amount(time, "s")
    found = [
        Step(
            "Copper after the time, from as warm as the air",
            "heating curve",
            "{} for {} in air of {}",
            (Amount(current, "A"), on, air),
            Amount(reached, "degC"),
            IN_TIME,
        ),
        Step(
            "Current that just reaches the limit in that time, once",
            "heating curve backwards",
            "from {} to {} in {}",
            (air, limit, on),
            Amount(overload_a(conductor, rated, ambient, time), "A"),
            IN_TIME,
        ),
    ]
    if values["rest"] is not None:
        off = Amount(values["rest"], "s")
        valley = Amount(cooled_c(conductor, rated, ambient, off.value), "degC")
        found += [
            Step(
                "Copper after the rest, from its limit",
                "cooling curve",
                "from {} for {} in air of {}",
                (limit, off, air),
                valley,
                IN_TIME,
            ),
            Step(
                "Current that just reaches the limit every time",
                "heating curve backwards",
                "from {} to {} in {}",
                (valley, limit, on),
                Amount(intermittent_a(conductor, rated, ambient, time, off.value), "A"),
                IN_TIME,
            ),
        ]
    return tuple(found)


CALCULATOR = Calculator(
    "heating",
    "how hot a conductor gets in time, once or over and over",
    "A wire takes time to warm, the thicker the longer: for a starter, a winch or a horn it may "
    "be thinner than for ever. Gives the temperature after a time, how long the current may "
    "flow, and the largest current for that time, also where it comes and goes.",
    "--current 120 A --time 10 s --rest 2 min --size 10 mm2 --wire battery --ambient 60 degC",
    (CURRENT, TIME, REST, SIZE, FAMILY, AMBIENT),
    work,
)
