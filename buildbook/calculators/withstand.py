"""What a conductor stands while a short circuit lasts: heat that stays in the copper."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Input, Mistake, Step, Working
from buildbook.calculators.reading import quantity
from buildbook.calculators.wire_inputs import FAMILY, SIZE, family_assumed, find_wire
from buildbook.catalogue.copper import (
    FROM_ZERO_TO_REFERENCE_C,
    J_PER_M3_K,
    OHM_MM_20C,
    ZERO_RESISTANCE_C,
)
from buildbook.sizing.short_circuit_withstand import (
    LONGEST_S,
    k_factor,
    least_mm2,
    withstand_a,
    withstand_s,
)

SOURCE = "IEC 60364-5-54, adiabatic equation"
CURRENT = Input(
    "current", quantity("A", above=0.0), "the current of the short circuit, such as 300 A"
)
TIME = Input("time", quantity("s", above=0.0), "how long it lasts until the fuse has opened it")
START = Input(
    "start",
    quantity("degC"),
    "the copper's temperature when it begins; not given: the most that the family stands for ever",
    optional=True,
)
FINAL = Input(
    "final",
    quantity("degC"),
    "the temperature that the insulation stands for so short a time; not given: the family's",
    optional=True,
)


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """Hold I2 t against k2 S2; the longest time, the largest current and the least copper."""
    wire = find_wire(values["size"], values["wire"])
    if isinstance(wire, Mistake):
        return (wire,)
    start = wire.family.rated_c if values["start"] is None else values["start"]
    final = wire.family.short_circuit_c if values["final"] is None else values["final"]
    if not start > -ZERO_RESISTANCE_C or final <= start:
        return (
            Mistake(
                "final",
                f"{final:g} degC is no hotter than the copper already is, {start:g} degC",
                "no heat may be added",
                "give the temperature that the insulation stands for some seconds",
            ),
        )
    steps = _steps(wire.conductor.copper_mm2, start, final, values["current"], values["time"])
    seconds = steps[1].result.value
    verdict = "stands it" if values["time"] <= seconds else "is harmed before it ends"
    assumed = family_assumed(wire, values["wire"])
    if values["start"] is None:
        assumed += (f"copper at {start:g} degC, all that it may have for ever (--start)",)
    if values["final"] is None:
        assumed += (f"insulation that stands {final:g} degC for some seconds (--final)",)
    return Working(
        steps,
        (
            Answer("longest time", steps[1].result),
            Answer("largest current for that time", steps[2].result),
            Answer("least copper", steps[3].result),
            Answer("verdict", f"{wire.conductor.label} {verdict}"),
        ),
        assumed=assumed,
        notes=_notes(values["time"], seconds),
    )


def _steps(
    area_mm2: float, start_c: float, final_c: float, current_a: float, time_s: float
) -> tuple[Step, ...]:
    k = Amount(k_factor(start_c, final_c), "A s^0.5/mm2")
    area, current, time = Amount(area_mm2, "mm2"), Amount(current_a, "A"), Amount(time_s, "s")
    beta, reference = f"{ZERO_RESISTANCE_C:g}", f"{FROM_ZERO_TO_REFERENCE_C:g}"
    return (
        Step(
            "Constant of copper between the two temperatures",
            f"sqrt(Q ({beta} + 20) / r x ln(({beta} + final) / ({beta} + start)))",
            f"sqrt({{}} x {reference} / {{}} x ln(({beta} + {{}}) / ({beta} + {{}})))",
            (
                Amount(J_PER_M3_K / 1e9, "J/(mm3 K)"),
                Amount(OHM_MM_20C, "ohm mm"),
                Amount(final_c, "degC"),
                Amount(start_c, "degC"),
            ),
            k,
            SOURCE,
        ),
        Step(
            "Longest time at that current",
            "(k x area / current)^2",
            "({} x {} / {})^2",
            (k, area, current),
            Amount(withstand_s(area_mm2, k.value, current_a), "s"),
            SOURCE,
        ),
        Step(
            "Largest current for that time",
            "k x area / sqrt(time)",
            "{} x {} / sqrt({})",
            (k, area, time),
            Amount(withstand_a(area_mm2, k.value, time_s), "A"),
            SOURCE,
        ),
        Step(
            "Least copper for both",
            "current x sqrt(time) / k",
            "{} x sqrt({}) / {}",
            (current, time, k),
            Amount(least_mm2(k.value, current_a, time_s), "mm2"),
            SOURCE,
        ),
    )


def _notes(time_s: float, longest_s: float) -> tuple[str, ...]:
    notes = []
    if time_s > longest_s:
        notes.append(
            "CAUTION: the insulation burns before the fuse opens. Take a thicker wire "
            "or a faster fuse."
        )
    if max(time_s, min(longest_s, time_s * 2)) > LONGEST_S:
        notes.append(f"The equation holds up to {LONGEST_S:g} s; beyond it is on the safe side.")
    return tuple(notes)


CALCULATOR = Calculator(
    "withstand",
    "whether a wire stands a short circuit until its fuse opens",
    "In a short circuit the heat has no time to leave the copper. Gives the longest time, the "
    "largest current and the least copper area with which the insulation is not harmed.",
    "--size 2.5 mm2 --current 400 A --time 0.2 s --start 70 degC --final 160 degC",
    (SIZE, FAMILY, CURRENT, TIME, START, FINAL),
    work,
)
