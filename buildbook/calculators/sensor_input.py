"""What all laws of sensors share: what a law is, its inputs read, and the divider at the pin."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from buildbook.calculators.model import Amount, Step
from buildbook.calculators.reading import COLDEST_C, HOTTEST_C, HUGE, sane
from buildbook.description.quantities import Measured, in_unit_of, parse_measured
from buildbook.electrical.sensors import Loop, SensorReading, pin_volts

Found = tuple[list[Step], SensorReading]
DIVIDER = "Ohm's and Kirchhoff's laws"
CELSIUS = Measured(0.0, "degC")


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
def about(name: str) -> Iterator[None]:
    """Say which input a ValueError is about."""
    try:
        yield
    except ValueError as reason:
        raise Misfit(name, str(reason)) from None


def measured(values: Mapping[str, Any]) -> Measured:
    with about("at"):
        value = parse_measured(values["at"])
        if abs(value.value) > HUGE:
            raise ValueError(f"'{values['at']}' is too large to be meant")
        return value


def celsius_of(values: Mapping[str, Any]) -> float:
    with about("at"):
        celsius = in_unit_of(measured(values), CELSIUS)
    if not COLDEST_C <= celsius <= HOTTEST_C:
        raise Misfit("at", f"{values['at']} is not a temperature that it can have")
    return celsius


def pull_down_steps(ohms: float, loop: Loop) -> list[Step]:
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


def driven_steps(output_v: float, loop: Loop) -> list[Step]:
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


def points_of(values: Mapping[str, Any], unit: str, least: int) -> list[tuple[Measured, float]]:
    """The characteristic, its second values in `unit`, each measured value once and alike."""
    with about("points"):
        found = [(at, sane(text, unit)) for at, text in values["points"]]
        places = [in_unit_of(at, found[0][0]) for at, _ in found]
    if len(found) < least:
        raise Misfit("points", f"it needs {least} points or more")
    if len(set(places)) < len(places):
        raise Misfit("points", "two points are at the same value")
    if unit != "V" and min(gives for _, gives in found) < 0:
        raise Misfit("points", f"a sensor cannot give less than 0 {unit}")
    return found


def place_of(values: Mapping[str, Any], points: list[tuple[Measured, float]]) -> Measured:
    """What is measured, once its unit is known to suit the points."""
    value = measured(values)
    with about("at"):
        in_unit_of(value, points[0][0])
    return value
