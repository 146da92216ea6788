"""The law of each type of sensor, step by step: ohms, output, and the divider at the pin."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from buildbook.calc.model import Amount, Step
from buildbook.calc.reading import COLDEST_C, HOTTEST_C, HUGE, sane
from buildbook.description import models as written
from buildbook.description.models import Section
from buildbook.description.quantities import Measured, in_unit_of, parse_measured
from buildbook.electrical import platinum, thermistor
from buildbook.electrical.sensors import (
    Loop,
    Reading,
    current_reading,
    hall_reading,
    inductive_reading,
    inductive_volts,
    output_reading,
    pin_volts,
    platinum_reading,
    sender_reading,
    straight,
    switch_reading,
    thermistor_reading,
)
from buildbook.vehicle.signals import falls

Found = tuple[list[Step], Reading]
B_VALUE = "B value, IEC 60539-1"
STEINHART = "Steinhart and Hart, Deep-Sea Research 15 (1968) 497"
IEC_60751 = "IEC 60751:2008"
DIVIDER = "Ohm's and Kirchhoff's laws"
CELSIUS = Measured(0.0, "degC")
RPM = Measured(0.0, "rpm")


@dataclass(frozen=True)
class Law:
    """One type of sensor: what it is, the inputs it needs, an example, and its working."""

    what: str
    needs: tuple[str, ...]
    example: str
    uses: frozenset[str]
    """Inputs that have a part in it, besides type and at."""
    tolerance: float
    """Taken where none is given, a share: that of the description."""
    pulled: bool
    """Whether the pin has volts only with a pull-up."""
    work: Callable[[Mapping[str, Any], Loop], Found]


class Misfit(ValueError):
    """An input, named by `about`, that does not suit the type of sensor."""

    def __init__(self, about: str, what: str) -> None:
        super().__init__(what)
        self.about = about


@contextmanager
def _about(name: str) -> Iterator[None]:
    """Say which input a ValueError is about."""
    try:
        yield
    except ValueError as reason:
        raise Misfit(name, str(reason)) from None


def _measured(values: Mapping[str, Any]) -> Measured:
    with _about("at"):
        value = parse_measured(values["at"])
        if abs(value.value) > HUGE:
            raise ValueError(f"'{values['at']}' is too large to be meant")
        return value


def _celsius(values: Mapping[str, Any]) -> float:
    with _about("at"):
        celsius = in_unit_of(_measured(values), CELSIUS)
    if not COLDEST_C <= celsius <= HOTTEST_C:
        raise Misfit("at", f"{values['at']} is not a temperature that it can have")
    return celsius


def _pull_down_steps(ohms: float, loop: Loop) -> list[Step]:
    """The divider of pull-up, leads and sensor, where there is a pull-up."""
    if loop.pull_up_ohm is None:
        return []
    pull_up, lead, to = loop.pull_up_ohm.nominal, loop.lead_ohm, loop.to_v.nominal
    return [
        Step(
            "Volts at the pin",
            "pulled to x (leads + sensor) / (pull-up + leads + sensor)",
            "{} x ({} + {}) / ({} + {} + {})",
            (
                Amount(to, "V"),
                Amount(lead, "ohm"),
                Amount(ohms, "ohm"),
                Amount(pull_up, "ohm"),
                Amount(lead, "ohm"),
                Amount(ohms, "ohm"),
            ),
            Amount(pin_volts(0.0, ohms, pull_up, to, lead), "V"),
            DIVIDER,
        ),
    ]


def _driven_steps(output_v: float, loop: Loop) -> list[Step]:
    """What a pull-up adds to a driven output over the leads."""
    if loop.pull_up_ohm is None:
        return []
    pull_up, lead, to = loop.pull_up_ohm.nominal, loop.lead_ohm, loop.to_v.nominal
    return [
        Step(
            "Volts at the pin",
            "output + (pulled to - output) x leads / (pull-up + leads)",
            "{} + ({} - {}) x {} / ({} + {})",
            (
                Amount(output_v, "V"),
                Amount(to, "V"),
                Amount(output_v, "V"),
                Amount(lead, "ohm"),
                Amount(pull_up, "ohm"),
                Amount(lead, "ohm"),
            ),
            Amount(pin_volts(output_v, 0.0, pull_up, to, lead), "V"),
            DIVIDER,
        ),
    ]


def _points(values: Mapping[str, Any], unit: str, least: int) -> list[tuple[Measured, float]]:
    """The characteristic, its second values in `unit`, each measured value once and alike."""
    with _about("points"):
        found = [(at, sane(text, unit)) for at, text in values["points"]]
        places = [in_unit_of(at, found[0][0]) for at, _ in found]
    if len(found) < least:
        raise Misfit("points", f"it needs {least} points or more")
    if len(set(places)) < len(places):
        raise Misfit("points", "two points are at the same value")
    if unit != "V" and min(gives for _, gives in found) < 0:
        raise Misfit("points", f"a sensor cannot give less than 0 {unit}")
    return found


def _place(values: Mapping[str, Any], points: list[tuple[Measured, float]]) -> Measured:
    """What is measured, once its unit is known to suit the points."""
    value = _measured(values)
    with _about("at"):
        in_unit_of(value, points[0][0])
    return value


def _ntc(values: Mapping[str, Any], loop: Loop) -> Found:
    celsius, share = _celsius(values), values["tolerance"]
    if values["points"]:
        points = [(in_unit_of(at, CELSIUS), ohms) for at, ohms in _points(values, "ohm", 2)]
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
    return [*steps, *_pull_down_steps(steps[-1].result.value, loop)], reading


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


def _platinum(values: Mapping[str, Any], loop: Loop) -> Found:
    celsius, ohms, grade = _celsius(values), values["ohms"] or 100.0, values["class"]
    low, high = platinum.RANGE_C
    if not low <= celsius <= high:
        raise Misfit("at", f"{IEC_60751} holds from {low:g} to {high:g} degC")
    there = platinum.ohms_at(celsius, ohms)
    fixed, per_degree = platinum.CLASSES[grade]
    formula = "R0 x (1 + A t + B t^2)"
    put_in = f"{{}} x (1 + {platinum.A:g} x {{}} - {-platinum.B:g} x {{}}^2)"
    numbers = (Amount(ohms, "ohm"), Amount(celsius, "degC"), Amount(celsius, "degC"))
    if celsius < 0:
        formula = "R0 x (1 + A t + B t^2 + C (t - 100) t^3)"
        put_in = f"{put_in[:-1]} - {-platinum.C:g} x ({{}} - 100) x {{}}^3)"
        numbers = (*numbers, Amount(celsius, "degC"), Amount(celsius, "degC"))
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
        *_pull_down_steps(there, loop),
    ]
    sensor = written.Platinum.model_construct(ohms=ohms, class_=grade)
    return steps, platinum_reading(celsius, sensor, loop)


def _straight_step(points: list[tuple[Measured, float]], value: Measured, unit: str) -> Step:
    """The line between two points, on past the last two."""
    first = points[0][0]
    known = sorted((in_unit_of(at, first), gives) for at, gives in points)
    x = in_unit_of(value, first)
    (low, low_y), (high, high_y) = next(
        (pair for pair in pairwise(known) if x <= pair[1][0]), (known[-2], known[-1])
    )
    of = first.unit
    return Step(
        "Output there",
        "straight between the two points beside it",
        "{} + ({} - {}) x ({} - {}) / ({} - {})",
        (
            Amount(low_y, unit),
            Amount(high_y, unit),
            Amount(low_y, unit),
            Amount(x, of),
            Amount(low, of),
            Amount(high, of),
            Amount(low, of),
        ),
        Amount(straight(points, value), unit),
        "its characteristic",
    )


def _sender(values: Mapping[str, Any], loop: Loop) -> Found:
    points = _points(values, "ohm", 2)
    value = _place(values, points)
    step = _straight_step(points, value, "ohm")
    sender = written.Sender.model_construct(points=points, tolerance=values["tolerance"])
    return [step, *_pull_down_steps(step.result.value, loop)], sender_reading(value, sender, loop)


def _volts(values: Mapping[str, Any], loop: Loop) -> Found:
    points, of = _points(values, "V", 2), values["of"]
    value = _place(values, points)
    steps = [_straight_step(points, value, "V")]
    if of is not None:
        out = steps[0].result
        steps.append(
            Step(
                "Output at its own supply",
                "output x supply / supply of the points",
                "{} x {} / {}",
                (out, Amount(loop.supply_v.nominal, "V"), Amount(of, "V")),
                Amount(out.value * loop.supply_v.nominal / of, "V"),
                "ratiometric output",
            )
        )
    output = written.Output.model_construct(points=points, of=of, tolerance=values["tolerance"])
    steps += _driven_steps(steps[-1].result.value, loop)
    return steps, output_reading(value, output, loop)


def _current(values: Mapping[str, Any], loop: Loop) -> Found:
    points, into = _points(values, "A", 2), values["into"]
    value = _place(values, points)
    amps = _straight_step(points, value, "A")
    output = written.CurrentOutput.model_construct(
        points=points, into=into, tolerance=values["tolerance"]
    )
    volts = Step(
        "Volts at the pin",
        "current x resistor",
        "{} x {}",
        (amps.result, Amount(into, "ohm")),
        Amount(amps.result.value * into, "V"),
        "Ohm's law",
    )
    return [amps, volts], current_reading(value, output, loop)


def _state(values: Mapping[str, Any], yes: str, no: str) -> bool:
    if values["at"].strip() not in (yes, no):
        raise Misfit("at", f"'{values['at']}' is neither {yes} nor {no}")
    return values["at"].strip() == yes


def _hall(values: Mapping[str, Any], loop: Loop) -> Found:
    pickup = written.Pickup()
    pulls = _state(values, "on", "off")
    reading = hall_reading(pulls, pickup, loop)
    if pulls:
        step = Step(
            "Volts at the pin",
            "at most what its output leaves while it pulls low",
            "{} or less",
            (Amount(pickup.low, "V"),),
            Amount(reading.volts.nominal, "V"),
            "typical open collector (memory)",
        )
        return [step], reading
    step = Step(
        "Volts at the pin, lowest",
        "lowest of the voltage pulled to - leakage x pull-up",
        "{} - {} x {}",
        (
            Amount(loop.to_v.low, "V"),
            Amount(pickup.leak, "A"),
            Amount(loop.pull_up_ohm.high, "ohm"),
        ),
        Amount(reading.volts.low, "V"),
        DIVIDER,
    )
    return [step], reading


def _inductive(values: Mapping[str, Any], loop: Loop) -> Found:
    with _about("at"):
        rpm = in_unit_of(_measured(values), RPM)
    if rpm < 0:
        raise Misfit("at", "a speed is not below zero")
    coil = written.Inductive.model_construct(
        ohms=values["ohms"],
        tolerance=values["tolerance"],
        volts=values["volts"],
        at=values["volts-at"],
    )
    steps = [
        Step(
            "Ohms of the coil, cold",
            "as given",
            "{}",
            (Amount(values["ohms"], "ohm"),),
            Amount(values["ohms"], "ohm"),
            "its data sheet",
        )
    ]
    reading = inductive_reading(rpm, coil, loop)
    if reading.volts:
        steps.append(
            Step(
                "Alternating volts",
                "volts x speed / speed of the volts",
                "{} x {} / {}",
                (Amount(coil.volts, "V"), Amount(rpm, "rpm"), Amount(coil.at, "rpm")),
                Amount(inductive_volts(coil.volts, coil.at, rpm), "V"),
                "Faraday's law",
            )
        )
    return steps, reading


def _switch(values: Mapping[str, Any], loop: Loop) -> Found:
    closed = _state(values, "closed", "open")
    if closed:
        return _pull_down_steps(0.0, loop), switch_reading(True, loop)
    step = Step(
        "Volts at the pin",
        "no current flows: all of the voltage pulled to",
        "{}",
        (Amount(loop.to_v.nominal, "V"),),
        Amount(loop.to_v.nominal, "V"),
        DIVIDER,
    )
    return [step], switch_reading(False, loop)


def _tolerance(model: type[Section]) -> float:
    return model.model_fields["tolerance"].default


PULLED = frozenset({"pull-up", "pull-up-tolerance", "to", "lead", "supply-tolerance"})
LAWS: dict[str, Law] = {
    "ntc": Law(
        "a thermistor",
        (),
        "--ohms 2.2 kohm --beta 3435 K",
        PULLED | {"points", "ohms", "ohms-at", "beta", "tolerance"},
        _tolerance(written.Thermistor),
        True,
        _ntc,
    ),
    "platinum": Law(
        "as Pt100",
        (),
        "--ohms 100 ohm --at 100 degC",
        PULLED | {"ohms", "class"},
        0.0,
        True,
        _platinum,
    ),
    "sender": Law(
        "ohms by points",
        ("points",),
        "--points 0 % 10 ohm, 100 % 180 ohm",
        PULLED | {"points", "tolerance"},
        _tolerance(written.Sender),
        True,
        _sender,
    ),
    "volts": Law(
        "a voltage by points",
        ("points",),
        "--points 0 bar 0.5 V, 10 bar 4.5 V",
        PULLED | {"points", "tolerance", "of", "supply"},
        _tolerance(written.Output),
        False,
        _volts,
    ),
    "current": Law(
        "a current by points",
        ("points",),
        "--points 0 bar 4 mA, 10 bar 20 mA",
        frozenset({"points", "tolerance", "into"}),
        _tolerance(written.CurrentOutput),
        False,
        _current,
    ),
    "hall": Law(
        "an open collector", ("pull-up",), "--at on --pull-up 2.2 kohm", PULLED, 0.0, True, _hall
    ),
    "inductive": Law(
        "coil and magnet",
        ("ohms",),
        "--ohms 800 ohm --at 600 rpm",
        frozenset({"ohms", "tolerance", "volts", "volts-at"}),
        _tolerance(written.Inductive),
        False,
        _inductive,
    ),
    "switch": Law(
        "to ground", ("pull-up",), "--at closed --pull-up 1 kohm", PULLED, 0.0, True, _switch
    ),
}
