"""Sensors in words: how a characteristic is stated, what lies in the loop, spans of readings."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.book.formats import number, ohms, plain, share, unit_words
from buildbook.description import models as written
from buildbook.description.quantities import Measured
from buildbook.electrical.model import PairTable, SensorRow, SensorTable
from buildbook.electrical.sensors import Loop
from buildbook.electrical.span import Span
from buildbook.result import Result

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
            title += f", {pin.use or pin.name}"
        if device.written.fitted == "later":
            title += " (not fitted yet)"
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
        return f"platinum, {ohms(given.ohms)} at 0 °C, IEC 60751 class {given.class_}"
    if law == "hall":
        return f"open collector, {plain(given.low)} V at most when it pulls low"
    if law == "inductive":
        words = f"coil and magnet, {ohms(given.ohms)} ± {share(given.tolerance)} at 20 °C"
        if given.volts is not None:
            words += f", {plain(given.volts)} V AC ± {share(given.volts_tolerance)} at "
            words += f"{number(given.at, 0)} rpm"
        return words
    if law == "switch":
        return "switch"
    ends = f"{_point(given.points[0], law)} to {_point(given.points[-1], law)}"
    of = " of the resistance" if law == "ohms" else " of the span"
    words = f"{ends}, ± {share(given.tolerance)}{of}"
    if law == "current":
        return f"{words}, into {ohms(given.into)} ± {share(given.into_tolerance)}"
    return words + (f", with its supply (at {plain(given.of)} V)" if _follows(given) else "")


def _follows(given: object) -> bool:
    """Whether a sensor's volts go with its supply."""
    return isinstance(given, written.Output) and given.of is not None


def _ntc_words(given: written.Thermistor) -> str:
    how = ""
    if given.beta is not None and given.ohms is not None:
        how = f"{ohms(given.ohms)} at {number(given.at, 0)} °C, B {number(given.beta, 0)} K"
        if given.beta_tolerance:
            how += f" ± {share(given.beta_tolerance)}"
    elif given.points:
        how = "through " + ", ".join(f"{ohms(r)} at {number(c, 0)} °C" for c, r in given.points)
    elif given.coefficients:
        how = "Steinhart–Hart " + ", ".join(f"{value:.4g}" for value in given.coefficients)
    return f"NTC, {how}, ± {share(given.tolerance)}"


def _point(point: tuple[Measured, float], law: str) -> str:
    at, gives = point
    if law == "ohms":
        shown = ohms(gives)
    else:
        shown = f"{plain(gives)} V" if law == "volts" else f"{plain(gives * 1000)} mA"
    return f"{shown} at {unit_words(str(at))}"


def loop_words(table: SensorTable) -> str:
    """What lies between the controller's volts and the sensor."""
    loop: Loop = table.loop
    words = []
    if loop.pull_up_ohm is not None:
        pull_up, to_v = loop.pull_up_ohm, loop.to_v
        words.append(
            f"pull-up {ohms(pull_up.nominal)} ± {share(_spread(pull_up))} to "
            f"{plain(to_v.nominal)} V ± {share(_spread(to_v))}"
        )
    if loop.supply_v.nominal > 0:
        volts, spread = number(loop.supply_v.nominal), share(_spread(loop.supply_v))
        words.append(f"{volts} V ± {spread} at the sensor")
    if loop.lead_ohm > 0:
        words.append(f"leads {number(loop.lead_ohm)} Ω")
    if abs(loop.offset_v) >= 0.0005:
        words.append(f"return {number(loop.offset_v * 1000, 0)} mV off the meter's ground")
    return "; ".join(words)


def _spread(span: Span) -> float:
    return (span.high - span.nominal) / span.nominal if span.nominal else 0.0
