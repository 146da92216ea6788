"""Sensors in words: how a characteristic is stated, what lies in the loop, spans of readings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from buildbook.book.formats import number, ohms, plain, share, unit_words
from buildbook.description import models as written
from buildbook.description.expand.kinds import said_use
from buildbook.description.quantities import Measured
from buildbook.electrical.model import PairTable, SensorRow, SensorTable
from buildbook.electrical.sensors import Loop
from buildbook.electrical.span import Span
from buildbook.result import Result
from buildbook.words.joined import numbers_listed
from buildbook.words.say import in_figures, mark, say

COLD_C = 20.0
"""Temperature of a vehicle that has stood in the workshop."""


@dataclass(frozen=True)
class DescribedSensor:
    """A sensor's table with its words."""

    title: str
    law: str
    loop: str
    table: SensorTable


def described_sensors(result: Result, devices: set[str] | None = None) -> list[DescribedSensor]:
    """Tables of the sensors of some devices, or of all."""
    found = []
    for table in result.sensors.tables:
        if devices is not None and table.device not in devices:
            continue
        device = result.vehicle.devices[table.device]
        signal = next(s.written for s in device.signals if s.pin == table.pin)
        pin = result.vehicle.pins[table.pin]
        title = device.title
        if len(device.signals) > 1:
            title += f", {said_use(pin.use) or pin.name}"
        if device.written.fitted == "later":
            title = say("{sensor} (not fitted yet)", sensor=title)
        found.append(DescribedSensor(title, law_words(table.law, signal), loop_words(table), table))
    return found


def as_it_stands(view: DescribedSensor) -> SensorRow | None:
    """The reading to expect on a cold, still vehicle: the one nearest 20 degC, or the first."""
    rows = [row for row in view.table.rows if row.volts is not None and not row.alternating]
    if view.table.law not in ("ntc", "platinum"):
        return next(iter(rows), None)
    return min(rows, key=lambda row: abs(float(row.when.split()[0]) - COLD_C), default=None)


def described_pairs(result: Result, devices: set[str]) -> list[tuple[str, PairTable]]:
    """Double tracks of some devices, with the device's title."""
    pairs = (pair for pair in result.sensors.pairs if pair.device in devices)
    return [(result.vehicle.devices[pair.device].title, pair) for pair in pairs]


def law_words(law: str, signal: written.Signal) -> str:
    """How the characteristic is stated, with its tolerance."""
    given = getattr(signal, law)
    if law == "ntc":
        return _ntc_words(given)
    if law == "platinum":
        said = mark("platinum, {ohms} at 0 °C, IEC 60751 class {class_}")
        return say(said, ohms=ohms(given.ohms), class_=given.class_)
    if law == "hall":
        said = mark("open collector, {volts} V at most when it pulls low")
        return say(said, volts=plain(given.low))
    if law == "inductive":
        return _inductive_words(given)
    if law == "switch":
        return say("switch", context="sensor")
    return _curve_words(given, law)


def _inductive_words(given: written.Inductive) -> str:
    words = say(
        "coil and magnet, {ohms} ± {tolerance} at 20 °C",
        ohms=ohms(given.ohms),
        tolerance=share(given.tolerance),
    )
    if given.volts is None:
        return words
    return say(
        "{coil}, {volts} V AC ± {tolerance} at {speed} rpm",
        coil=words,
        volts=plain(given.volts),
        tolerance=share(given.volts_tolerance),
        speed=number(given.at, 0),
    )


def _curve_words(given: Any, law: str) -> str:
    """Of a sensor that is told by points: its ends and how far it may be off."""
    low, high = _point(given.points[0], law), _point(given.points[-1], law)
    ends, tolerance = say("{low} to {high}", low=low, high=high), share(given.tolerance)
    if law == "ohms":
        return say("{ends}, ± {tolerance} of the resistance", ends=ends, tolerance=tolerance)
    words = say("{ends}, ± {tolerance} of the span", ends=ends, tolerance=tolerance)
    if law == "current":
        into, within = ohms(given.into), share(given.into_tolerance)
        said = mark("{sensor}, into {ohms} ± {tolerance}")
        return say(said, sensor=words, ohms=into, tolerance=within)
    if not _follows(given):
        return words
    return say("{sensor}, with its supply (at {volts} V)", sensor=words, volts=plain(given.of))


def _follows(given: object) -> bool:
    """Whether a sensor's volts go with its supply."""
    return isinstance(given, written.Output) and given.of is not None


def _ntc_words(given: written.Thermistor) -> str:
    how = ""
    if given.beta is not None and given.ohms is not None:
        how = f"{_at_celsius(given.ohms, given.at)}, B {number(given.beta, 0)} K"
        if given.beta_tolerance:
            how += f" ± {share(given.beta_tolerance)}"
    elif given.points:
        points = ", ".join(_at_celsius(r, celsius) for celsius, r in given.points)
        how = say("through {points}", points=points)
    elif given.coefficients:
        values = [in_figures(f"{value:.4g}") for value in given.coefficients]
        how = "Steinhart–Hart " + numbers_listed(values)
    return f"NTC, {how}, ± {share(given.tolerance)}"


def _at_celsius(given_ohms: float, celsius: float) -> str:
    return say("{value} at {at}", value=ohms(given_ohms), at=f"{number(celsius, 0)} °C")


def _point(point: tuple[Measured, float], law: str) -> str:
    at, gives = point
    if law == "ohms":
        shown = ohms(gives)
    else:
        shown = f"{plain(gives)} V" if law == "volts" else f"{plain(gives * 1000)} mA"
    return say("{value} at {at}", value=shown, at=unit_words(str(at)))


def loop_words(table: SensorTable) -> str:
    """What lies between the controller's volts and the sensor."""
    loop: Loop = table.loop
    words = []
    if loop.pull_up_ohm is not None:
        pull_up, to_v = loop.pull_up_ohm, loop.to_v
        words.append(
            say(
                "pull-up {ohms} ± {spread} to {volts} V ± {volts_spread}",
                ohms=ohms(pull_up.nominal),
                spread=share(_spread(pull_up)),
                volts=plain(to_v.nominal),
                volts_spread=share(_spread(to_v)),
            )
        )
    if loop.supply_v.nominal > 0:
        volts, spread = number(loop.supply_v.nominal), share(_spread(loop.supply_v))
        words.append(say("{volts} V ± {spread} at the sensor", volts=volts, spread=spread))
    if loop.lead_ohm > 0:
        words.append(say("leads {ohms} Ω", ohms=number(loop.lead_ohm)))
    if abs(loop.offset_v) >= 0.0005:
        off = number(loop.offset_v * 1000, 0)
        words.append(say("return {millivolts} mV off the meter's ground", millivolts=off))
    return "; ".join(words)


def _spread(span: Span) -> float:
    return (span.high - span.nominal) / span.nominal if span.nominal else 0.0
