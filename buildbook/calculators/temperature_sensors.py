"""The laws of temperature sensors, step by step: thermistors and platinum."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildbook.calculators.model import Amount, Step
from buildbook.calculators.reading import COLDEST_C, HOTTEST_C
from buildbook.calculators.sensor_input import (
    CELSIUS,
    Found,
    Misfit,
    celsius_of,
    points_of,
    pull_down_steps,
)
from buildbook.description import models as written
from buildbook.description.quantities import in_unit_of
from buildbook.electrical import platinum, thermistor
from buildbook.electrical.sensors import Loop, platinum_reading, thermistor_reading
from buildbook.vehicle.signals import falls

B_VALUE = "B value, IEC 60539-1"
STEINHART = "Steinhart and Hart, Deep-Sea Research 15 (1968) 497"
IEC_60751 = "IEC 60751:2008"


def ntc(values: Mapping[str, Any], loop: Loop) -> Found:
    celsius, share = celsius_of(values), values["tolerance"]
    if values["points"]:
        points = [(in_unit_of(at, CELSIUS), ohms) for at, ohms in points_of(values, "ohm", 2)]
        _check_ntc(points)
        ntc = written.Thermistor.model_construct(points=points, tolerance=share)
        steps = _beta_steps(points, celsius) if len(points) == 2 else _three_steps(points, celsius)
    elif values["ohms"] is None or values["beta"] is None:
        raise Misfit("ohms", "an ntc needs --points, or --ohms and --beta")
    else:
        at_c, beta = values["ohms-at"], values["beta"]
        ntc = written.Thermistor.model_construct(
            ohms=values["ohms"], at=at_c, beta=beta, tolerance=share
        )
        steps = [_beta_step(celsius, values["ohms"], at_c, beta)]
    reading = thermistor_reading(celsius, ntc, loop)
    return [*steps, *pull_down_steps(steps[-1].result.value, loop)], reading


def _check_ntc(points: list[tuple[float, float]]) -> None:
    if len(points) > 3:
        raise Misfit("points", "an ntc takes two points or three")
    rising = sorted(points)
    if rising[0][0] < COLDEST_C or rising[-1][0] > HOTTEST_C:
        raise Misfit("points", "a point is at a temperature that it cannot have")
    if rising[-1][1] <= 0 or not falls(rising):
        raise Misfit("points", "the ohms of an ntc fall as it gets hotter, and stay above zero")


def _beta_step(celsius: float, ohms: float, at_c: float, beta: float) -> Step:
    zero = f"{thermistor.ZERO_C_K:g}"
    return Step(
        "Resistance there",
        f"R x exp(B x (1 / (t + {zero}) - 1 / (t of R + {zero})))",
        f"{{}} x exp({{}} x (1 / ({{}} + {zero}) - 1 / ({{}} + {zero})))",
        (Amount(ohms, "ohm"), Amount(beta, "K"), Amount(celsius, "degC"), Amount(at_c, "degC")),
        Amount(thermistor.ohms_by_beta(celsius, ohms, at_c, beta), "ohm"),
        B_VALUE,
    )


def _beta_steps(points: list[tuple[float, float]], celsius: float) -> list[Step]:
    (one_c, one_ohm), (other_c, other_ohm) = points
    beta, zero = thermistor.beta_k(*points), f"{thermistor.ZERO_C_K:g}"
    return [
        Step(
            "B value through the two points",
            f"ln(R1 / R2) / (1 / (t1 + {zero}) - 1 / (t2 + {zero}))",
            f"ln({{}} / {{}}) / (1 / ({{}} + {zero}) - 1 / ({{}} + {zero}))",
            (
                Amount(one_ohm, "ohm"),
                Amount(other_ohm, "ohm"),
                Amount(one_c, "degC"),
                Amount(other_c, "degC"),
            ),
            Amount(beta, "K"),
            B_VALUE,
        ),
        _beta_step(celsius, one_ohm, one_c, beta),
    ]


def _three_steps(points: list[tuple[float, float]], celsius: float) -> list[Step]:
    """Coefficients A, B and C, and the resistance at which 1/T = A + B ln R + C (ln R)^3."""
    law = thermistor.coefficients(points)
    through = tuple(n for c, ohm in points for n in (Amount(c, "degC"), Amount(ohm, "ohm")))
    zero = f"{thermistor.ZERO_C_K:g}"
    named = zip("ABC", law, strict=True)
    steps = [
        Step(
            f"Coefficient {name} through the three points",
            f"of 1 / (t + {zero}) = A + B ln R + C (ln R)^3",
            "{}, {}; {}, {}; {}, {}",
            through,
            Amount(value, "/K", 7),
            STEINHART,
        )
        for name, value in named
    ]
    return [
        *steps,
        Step(
            "Resistance there",
            f"R of 1 / (t + {zero}) = A + B ln R + C (ln R)^3",
            f"1 / ({{}} + {zero}) = {{}} + {{}} ln R + {{}} (ln R)^3",
            (Amount(celsius, "degC"), *(s.result for s in steps)),
            Amount(thermistor.ohms_of(celsius, law), "ohm"),
            STEINHART,
        ),
    ]


def platinum_law(values: Mapping[str, Any], loop: Loop) -> Found:
    celsius, ohms, grade = celsius_of(values), values["ohms"] or 100.0, values["class"]
    low, high = platinum.RANGE_C
    if not low <= celsius <= high:
        raise Misfit("at", f"{IEC_60751} holds from {low:g} to {high:g} degC")
    there = platinum.ohms_at(celsius, ohms)
    fixed, per_degree = platinum.CLASSES[grade]
    formula = "R0 x (1 + A t + B t^2)"
    put_in = f"{{}} x (1 + {platinum.A:g} x {{}} - {-platinum.B:g} x {{}}^2)"
    at = Amount(celsius, "degC")
    numbers: tuple[Amount, ...] = (Amount(ohms, "ohm"), at, at)
    if celsius < 0:
        formula = "R0 x (1 + A t + B t^2 + C (t - 100) t^3)"
        put_in = f"{put_in[:-1]} - {-platinum.C:g} x ({{}} - 100) x {{}}^3)"
        numbers = (*numbers, at, at)
    steps = [
        Step("Resistance there", formula, put_in, numbers, Amount(there, "ohm", 5), IEC_60751),
        Step(
            f"Most that class {grade} may be out",
            "kelvin at 0 degC + kelvin a degree x |t|",
            "{} + {} x |{}|",
            (Amount(fixed, "K"), Amount(per_degree), Amount(celsius, "degC")),
            Amount(platinum.tolerance_k(celsius, grade), "K"),
            IEC_60751,
        ),
        *pull_down_steps(there, loop),
    ]
    sensor = written.Platinum.model_construct(ohms=ohms, class_=grade)
    return steps, platinum_reading(celsius, sensor, loop)
