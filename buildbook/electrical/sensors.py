"""What a sensor reads at the controller's pin: its characteristic, its pull-up, its leads."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from buildbook.description import models as written
from buildbook.description.quantities import Measured, in_unit_of
from buildbook.electrical import platinum, thermistor
from buildbook.electrical.span import Span, around, exactly, within, worst_case

OPEN_OHM = 1e12
"""Stands for no pull-up: a controller's input draws next to nothing."""
CELSIUS = Measured(0.0, "degC")


@dataclass(frozen=True)
class Loop:
    """What lies around a sensor, from the controller's pin to the pin it is measured against.

    `pull_up_ohm` to `to_v` inside the controller; `lead_ohm` there and back, contacts and
    splices included; `offset_v` by which other sensors' currents lift the shared return;
    `supply_v` across the sensor's own supply.
    """

    pull_up_ohm: Span | None = None
    to_v: Span = exactly(5.0)
    lead_ohm: float = 0.0
    offset_v: float = 0.0
    supply_v: Span = exactly(5.0)


@dataclass(frozen=True)
class SensorReading:
    """What a meter shows: ohms across the unplugged sensor, volts at the controller's pin."""

    ohms: Span | None = None
    volts: Span | None = None
    alternating: bool = False
    """Volts are alternating, root mean square."""


def pin_volts(
    output_v: float,
    ohms: float,
    pull_up_ohm: float,
    to_v: float,
    lead_ohm: float = 0.0,
    offset_v: float = 0.0,
) -> float:
    """Volts at a controller's pin against its own sensor ground.

    The pin hangs on `to_v` through `pull_up_ohm`; the sensor pulls it through its leads and its
    own `ohms` towards `output_v`, over a return lifted by `offset_v`. By Ohm's and Kirchhoff's
    laws: V = to - I pull_up, I = (to - output - offset) / (pull_up + lead + ohms).
    """
    far_v = output_v + offset_v
    return far_v + (to_v - far_v) * (lead_ohm + ohms) / (pull_up_ohm + lead_ohm + ohms)


def thermistor_ohms(celsius: float, ntc: written.Thermistor) -> Span:
    """Resistance of a thermistor with its tolerances; which law follows from what is written."""
    if ntc.beta is not None and ntc.ohms is not None:
        ohms, at_c = around(ntc.ohms, ntc.tolerance), ntc.at
        return worst_case(
            lambda r, b: thermistor.ohms_by_beta(celsius, r, at_c, b),
            ohms,
            around(ntc.beta, ntc.beta_tolerance),
        )
    if len(ntc.points) == 2:
        beta = thermistor.beta_k(*ntc.points)
        at_c, ohms_there = ntc.points[0]
        nominal = thermistor.ohms_by_beta(celsius, ohms_there, at_c, beta)
    else:
        law = ntc.coefficients or thermistor.coefficients(ntc.points)
        nominal = thermistor.ohms_of(celsius, law)
    return around(nominal, ntc.tolerance)


def straight(points: Sequence[tuple[Measured, float]], value: Measured) -> float:
    """What an output gives at `value`: straight between the points, and on past the last two."""
    unit = points[0][0]
    known = sorted((in_unit_of(at, unit), gives) for at, gives in points)
    x = in_unit_of(value, unit)
    places = zip(known, known[1:], strict=False)
    (low, low_v), (high, high_v) = next(
        (pair for pair in places if x <= pair[1][0]), (known[-2], known[-1])
    )
    return low_v + (high_v - low_v) * (x - low) / (high - low)


def wiper_ohms(track_ohm: float, share: float) -> float:
    """Resistance seen at the wiper of a potentiometer at a share of its track: both parts beside
    each other, R x (1 - x)."""
    return track_ohm * max(0.0, share * (1 - share))


def inductive_volts(volts: float, at_rpm: float, rpm: float) -> float:
    """Alternating volts at another speed: in proportion, as the flux changes (Faraday)."""
    return volts * rpm / at_rpm


def _span_of(points: Sequence[tuple[Measured, float]]) -> float:
    values = [gives for _, gives in points]
    return max(values) - min(values)


def _resistive(ohms: Span, loop: Loop) -> SensorReading:
    if loop.pull_up_ohm is None:
        return SensorReading(ohms)
    lead_ohm, offset_v = loop.lead_ohm, loop.offset_v
    volts = worst_case(
        lambda r, pull_up, to: pin_volts(0.0, r, pull_up, to, lead_ohm, offset_v),
        ohms,
        loop.pull_up_ohm,
        loop.to_v,
    )
    return SensorReading(ohms, volts)


def _driven(output: Span, through_ohm: float, loop: Loop) -> SensorReading:
    lead_ohm, offset_v = loop.lead_ohm, loop.offset_v
    volts = worst_case(
        lambda v, pull_up, to: pin_volts(v, through_ohm, pull_up, to, lead_ohm, offset_v),
        output,
        loop.pull_up_ohm or exactly(OPEN_OHM),
        loop.to_v,
    )
    return SensorReading(volts=volts)


def thermistor_reading(celsius: float, ntc: written.Thermistor, loop: Loop) -> SensorReading:
    """Ohms of the unplugged thermistor, and volts at the pin with its pull-up."""
    return _resistive(thermistor_ohms(celsius, ntc), loop)


def platinum_reading(celsius: float, sensor: written.Platinum, loop: Loop) -> SensorReading:
    """Ohms of the unplugged platinum thermometer, and volts at the pin with its pull-up."""
    return _resistive(platinum.span_at(celsius, sensor.ohms, sensor.class_), loop)


def sender_reading(value: Measured, sender: written.Sender, loop: Loop) -> SensorReading:
    """Ohms of the unplugged sender, and volts at the pin with its pull-up."""
    return _resistive(around(straight(sender.points, value), sender.tolerance), loop)


def output_reading(value: Measured, output: written.Output, loop: Loop) -> SensorReading:
    """Volts of a voltage output: absolute, or following the supply at the sensor where `of`."""
    nominal = straight(output.points, value)
    out = within(nominal, _span_of(output.points) * output.tolerance)
    through = output.through
    if output.of is not None:
        of = output.of
        through += wiper_ohms(output.track, nominal / of) if output.track else 0.0
        out = worst_case(lambda v, supply: v * supply / of, out, loop.supply_v)
    return _driven(out, through, loop)


def current_reading(value: Measured, output: written.CurrentOutput, loop: Loop) -> SensorReading:
    """Volts that a current output leaves over the controller's resistor; leads do not matter."""
    nominal = straight(output.points, value)
    amps = within(nominal, _span_of(output.points) * output.tolerance)
    volts = worst_case(lambda i, ohms: i * ohms, amps, around(output.into, output.into_tolerance))
    return SensorReading(volts=volts)


def hall_reading(on: bool, pickup: written.Pickup, loop: Loop) -> SensorReading:
    """Volts at the pin while an open collector pulls low, or lets the pull-up lift it."""
    if on:
        return _driven(Span(0.0, pickup.low / 2, pickup.low), 0.0, loop)
    if loop.pull_up_ohm is None:
        return SensorReading()
    volts = worst_case(
        lambda leak, pull_up, to: to - leak * pull_up,
        Span(0.0, 0.0, pickup.leak),
        loop.pull_up_ohm,
        loop.to_v,
    )
    return SensorReading(volts=volts)


def inductive_reading(rpm: float, coil: written.Inductive, loop: Loop) -> SensorReading:
    """Ohms of the unplugged coil at 20 degC; alternating volts across it at a speed."""
    ohms = around(coil.ohms, coil.tolerance)
    if coil.volts is None or rpm <= 0:
        return SensorReading(ohms)
    volts = around(inductive_volts(coil.volts, coil.at, rpm), coil.volts_tolerance)
    return SensorReading(ohms, volts, alternating=True)


def switch_reading(closed: bool, loop: Loop) -> SensorReading:
    """Volts at the pin of a switch to ground with a pull-up."""
    return _resistive(exactly(0.0) if closed else exactly(OPEN_OHM), loop)


def reading(signal: written.Signal, value: Measured, loop: Loop) -> SensorReading:
    """What a signal with a characteristic in numbers reads at `value`.

    Hall pickups and switches have states, not values: `hall_reading`, `switch_reading`.
    ValueError where the value's unit does not suit the sensor, or the signal has no such law.
    """
    if signal.ntc is not None:
        return thermistor_reading(_celsius(value), signal.ntc, loop)
    if signal.platinum is not None:
        return platinum_reading(_celsius(value), signal.platinum, loop)
    if signal.ohms is not None:
        return sender_reading(value, signal.ohms, loop)
    if signal.volts is not None:
        return output_reading(value, signal.volts, loop)
    if signal.current is not None:
        return current_reading(value, signal.current, loop)
    if signal.inductive is not None:
        return inductive_reading(in_unit_of(value, Measured(0.0, "rpm")), signal.inductive, loop)
    raise ValueError("a pickup or switch has no reading at a value")


def _celsius(value: Measured) -> float:
    celsius = in_unit_of(value, CELSIUS)
    if celsius <= -thermistor.ZERO_C_K or not math.isfinite(celsius):
        raise ValueError(f"{value} is below absolute zero")
    return celsius


def sum_of(first: Span, second: Span) -> Span:
    """Two tracks added, worst case."""
    return worst_case(lambda a, b: a + b, first, second)


def ratio_of(first: Span, second: Span) -> Span | None:
    """First track over second, worst case; None where the second may be zero."""
    if second.low <= 0:
        return None
    return worst_case(lambda a, b: a / b, first, second)
