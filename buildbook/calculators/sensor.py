"""What a sensor reads at the controller's pin, and across its own pins unplugged."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from buildbook.calculators.model import Amount, Answer, Calculator, Input, Mistake, Reader, Working
from buildbook.calculators.reading import choice, listed, quantity
from buildbook.calculators.sensor_input import Law, Misfit
from buildbook.calculators.sensor_laws import LAWS
from buildbook.description.quantities import Measured, parse_measured
from buildbook.electrical.sensors import Loop, SensorReading
from buildbook.electrical.span import Span, around

POINTS_EXAMPLE = "0 bar 0.5 V, 10 bar 4.5 V"


def _point(text: str) -> tuple[Measured, str]:
    """What is measured, and the text of what the sensor gives there."""
    match = re.fullmatch(r"\s*([-+]?[\d.]+\s*[^\s\d]\S*)\s+(.+)", text)
    if not match:
        raise ValueError(f"'{text}' is not a point; write for example {POINTS_EXAMPLE}")
    return parse_measured(match[1]), match[2]


TYPE = Input(
    "type",
    choice(LAWS),
    "how the sensor gives its reading: " + "; ".join(f"{n}, {x.what}" for n, x in LAWS.items()),
)
AT = Input(
    "at",
    Reader("VALUE", "", str),
    "what it measures, such as 90 degC, 4 bar, 30 % or 600 rpm; on or off for hall; closed or "
    "open for switch",
)
POINTS = Input(
    "points",
    listed("POINTS", _point),
    "points of its characteristic (ntc two or three; sender, volts, current two or more), "
    f"such as '{POINTS_EXAMPLE}'",
    optional=True,
)
OHMS = Input(
    "ohms",
    quantity("ohm", above=0.0),
    "its resistance: ntc at --ohms-at, platinum at 0 degC (not given: 100 ohm), inductive cold",
    optional=True,
)
OHMS_AT = Input("ohms-at", quantity("degC"), "the temperature of --ohms of an ntc", "25 degC")
BETA = Input(
    "beta", quantity("K", above=0.0), "the B value of an ntc, such as 3435 K", optional=True
)
GRADE = Input("class", choice(("AA", "A", "B", "C")), "the tolerance class of a platinum", "B")
OF = Input(
    "of",
    quantity("V", above=0.0),
    "the supply at which the points hold, where the output follows the supply (ratiometric)",
    optional=True,
)
VOLTS = Input(
    "volts",
    quantity("V", above=0.0),
    "the alternating volts of an inductive sensor at --volts-at",
    optional=True,
)
VOLTS_AT = Input("volts-at", quantity("rpm", above=0.0), "the speed of --volts", "300 rpm")
TOLERANCE = Input(
    "tolerance",
    quantity("1", least=0.0, most=0.99),
    "of its resistance, or of the span of its output; not given: what is usual for the type",
    optional=True,
)
PULL_UP = Input(
    "pull-up",
    quantity("ohm", above=0.0),
    "the resistor inside the controller that pulls the pin up, such as 2.2 kohm",
    optional=True,
)
PULL_UP_TOLERANCE = Input(
    "pull-up-tolerance", quantity("1", least=0.0, most=0.99), "of that resistor", "1 %"
)
TO = Input("to", quantity("V", above=0.0), "the voltage that it pulls to", "5 V")
LEAD = Input("lead", quantity("ohm", least=0.0), "wires and contacts there and back", "0 ohm")
SUPPLY = Input("supply", quantity("V", above=0.0), "the sensor's own supply", "5 V")
SUPPLY_TOLERANCE = Input(
    "supply-tolerance", quantity("1", least=0.0, most=0.99), "of --to and of --supply", "1 %"
)
INTO = Input(
    "into", quantity("ohm", above=0.0), "the resistor that a current output flows into", "250 ohm"
)


def work(values: Mapping[str, Any]) -> Working | tuple[Mistake, ...]:
    """The law of the sensor's type, then the divider that the controller makes of it."""
    law: Law = LAWS[values["type"]]
    missing = [
        Mistake(
            name,
            f"a sensor of type {values['type']} needs it",
            "",
            f"write for example {law.example}",
        )
        for name in law.needs
        if values[name] is None
    ]
    if missing:
        return tuple(missing)
    assumed: tuple[str, ...] = ()
    if values["tolerance"] is None and "tolerance" in law.uses:
        values = {**values, "tolerance": law.tolerance}
        assumed = (f"a tolerance of {100 * law.tolerance:g} %, usual for it (--tolerance)",)
    try:
        steps, reading = law.work(values, loop_of(values))
    except Misfit as reason:
        shown = f"--{reason.about} " in law.example
        hint = f"write for example {law.example}" if shown else ""
        return (Mistake(reason.about, str(reason), "", hint),)
    notes: tuple[str, ...] = ()
    if values["pull-up"] is None and law.pulled:
        notes = ("Give --pull-up to have the volts at the controller's pin.",)
    return Working(
        tuple(steps), _answers(reading), assumed=assumed, notes=notes, unused=_unused(values, law)
    )


def _unused(values: Mapping[str, Any], law: Law) -> frozenset[str]:
    """Inputs that the type does not look at, and those of a pull-up that is not there."""
    idle = set(values) - law.uses - {"type", "at"}
    if values["pull-up"] is None:
        idle |= {"pull-up-tolerance", "to", "lead"}
    if values["points"] is not None:
        idle |= {"ohms", "ohms-at", "beta"}
    if values["volts"] is None:
        idle.add("volts-at")
    if values["of"] is None:
        idle.add("supply")
    if values["pull-up"] is None and "supply" in idle:
        idle.add("supply-tolerance")
    return frozenset(idle)


def loop_of(values: Mapping[str, Any]) -> Loop:
    """The controller's pull-up and supplies, with their tolerances."""
    pull_up, apart = values["pull-up"], values["supply-tolerance"]
    return Loop(
        None if pull_up is None else around(pull_up, values["pull-up-tolerance"]),
        around(values["to"], apart),
        values["lead"],
        0.0,
        around(values["supply"], apart),
    )


def _answers(reading: SensorReading) -> tuple[Answer, ...]:
    found: list[Answer] = []
    if reading.ohms:
        found += _span("ohms, unplugged", reading.ohms, "ohm")
    if reading.volts:
        name = "alternating volts" if reading.alternating else "volts at the pin"
        found += _span(name, reading.volts, "V")
    return tuple(found)


def _span(name: str, span: Span, unit: str) -> list[Answer]:
    return [
        Answer(name, Amount(span.nominal, unit, 5)),
        Answer(f"{name}, lowest", Amount(span.low, unit, 5)),
        Answer(f"{name}, highest", Amount(span.high, unit, 5)),
    ]


CALCULATOR = Calculator(
    "sensor",
    "what a sensor reads at the controller's pin",
    "Ohms across the unplugged sensor and volts at the controller's pin, with what tolerances "
    "make of them: thermistor, platinum, voltage or current output, hall, inductive, switch.",
    "--type ntc --ohms 2.2 kohm --beta 3435 K --at 90 degC --pull-up 1 kohm --lead 0.3 ohm",
    (
        TYPE,
        AT,
        POINTS,
        OHMS,
        OHMS_AT,
        BETA,
        GRADE,
        OF,
        VOLTS,
        VOLTS_AT,
        TOLERANCE,
        PULL_UP,
        PULL_UP_TOLERANCE,
        TO,
        LEAD,
        SUPPLY,
        SUPPLY_TOLERANCE,
        INTO,
    ),
    work,
)
