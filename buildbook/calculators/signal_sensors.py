"""The laws of senders, outputs, pickups and switches, step by step."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from buildbook.calculators.model import Amount, Step
from buildbook.calculators.sensor_input import (
    DIVIDER,
    Found,
    Misfit,
    about,
    driven_steps,
    measured,
    place_of,
    points_of,
    pull_down_steps,
)
from buildbook.description import models as written
from buildbook.description.quantities import Measured, in_unit_of
from buildbook.electrical.sensors import (
    Loop,
    current_reading,
    hall_reading,
    inductive_reading,
    inductive_volts,
    output_reading,
    sender_reading,
    straight,
    switch_reading,
)

RPM = Measured(0.0, "rpm")


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


def sender(values: Mapping[str, Any], loop: Loop) -> Found:
    points = points_of(values, "ohm", 2)
    value = place_of(values, points)
    step = _straight_step(points, value, "ohm")
    sender = written.Sender.model_construct(points=points, tolerance=values["tolerance"])
    return [step, *pull_down_steps(step.result.value, loop)], sender_reading(value, sender, loop)


def volts(values: Mapping[str, Any], loop: Loop) -> Found:
    points, of = points_of(values, "V", 2), values["of"]
    value = place_of(values, points)
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
    steps += driven_steps(steps[-1].result.value, loop)
    return steps, output_reading(value, output, loop)


def current(values: Mapping[str, Any], loop: Loop) -> Found:
    points, into = points_of(values, "A", 2), values["into"]
    value = place_of(values, points)
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
    state: str = values["at"].strip()
    if state not in (yes, no):
        raise Misfit("at", f"'{values['at']}' is neither {yes} nor {no}")
    return state == yes


def hall(values: Mapping[str, Any], loop: Loop) -> Found:
    """An open collector; its law asks for a pull-up, so that the pin has volts in both states."""
    pickup = written.Pickup()
    pulls = _state(values, "on", "off")
    reading = hall_reading(pulls, pickup, loop)
    if reading.volts is None or loop.pull_up_ohm is None:
        raise Misfit("pull-up", "without a pull-up the pin has no volts to read")
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


def inductive(values: Mapping[str, Any], loop: Loop) -> Found:
    with about("at"):
        rpm = in_unit_of(measured(values), RPM)
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
    if reading.volts and coil.volts is not None:
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


def switch(values: Mapping[str, Any], loop: Loop) -> Found:
    closed = _state(values, "closed", "open")
    if closed:
        return pull_down_steps(0.0, loop), switch_reading(True, loop)
    step = Step(
        "Volts at the pin",
        "no current flows: all of the voltage pulled to",
        "{}",
        (Amount(loop.to_v.nominal, "V"),),
        Amount(loop.to_v.nominal, "V"),
        DIVIDER,
    )
    return [step], switch_reading(False, loop)
