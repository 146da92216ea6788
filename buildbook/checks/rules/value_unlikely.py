"""Finds currents, ohms and capacities that things of their kind never have."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from buildbook.checks.likely import Range, likely
from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.description import models as written
from buildbook.figures import significant
from buildbook.problem import Where
from buildbook.vehicle.model import Device

RULE = "value-unlikely"
SEVERITY = "warning"
SOURCE = "checks/likely.yaml: the range of each kind, each row with its source"
CELL_V = 2.1
"""Of one lead-acid cell, full and at rest."""


@dataclass(frozen=True)
class Value:
    """What is said of something, beside the range that such things have."""

    about: str
    what: str
    value: float
    range: Range
    key: str
    where: Where


def check(assessed: Assessed) -> Iterator[Finding]:
    """Each value that is written, in watts where volts differ from vehicle to vehicle."""
    for value in (*_draws(assessed), *_coils(assessed), *_sources(assessed)):
        if value.range.holds(value.value):
            continue
        slip = value.range.slip(value.value)
        yield Finding(
            RULE,
            "warning",
            value.about,
            f"{value.what} {_amount(value.value, value.range.unit)}: such things have "
            f"{_amount(value.range.least, value.range.unit)} to "
            f"{_amount(value.range.most, value.range.unit)}."
            + (f" It looks {slip}." if slip else ""),
            f"Read the label or measure it, and correct the number or the unit of `{value.key}`; "
            "if it is right, waive this and say why.",
            value.range.source,
            value.where,
        )


def _draws(assessed: Assessed) -> Iterator[Value]:
    """What every load takes while on at the volts it is stated at, and when switched on."""
    ranges, vehicle = likely(), assessed.vehicle
    for device in vehicle.devices.values():
        if device.kind == "relay" or len(device.loads) != len(device.written.draws):
            continue
        whole = _summed_w(device)
        for index, (load, draw) in enumerate(zip(device.loads, device.written.draws, strict=True)):
            key = next(k for k in ("amps", "watts", "ohms") if getattr(draw, k) is not None)
            where = written_at(vehicle, "devices", device.id, "draws", index, key)
            name = called(device.title, load.id)
            if row := ranges.get((device.kind, "W")):
                # a controller's small inputs are draws too: only the largest is judged for least
                watts = load.rated_a**2 * load.ohms
                if watts >= row.least or whole < row.least:
                    yield Value(load.id, f"{name} draws", watts, row, key, where)
            elif row := ranges.get((device.kind, "ohm")):
                yield Value(load.id, f"{name} has", load.ohms, row, key, where)
            if load.inrush_a > 0 and load.rated_a > 0:
                at = written_at(vehicle, "devices", device.id, "draws", index, "inrush")
                times = load.inrush_a / load.rated_a
                what = f"The inrush of {name} is, in running currents,"
                yield Value(load.id, what, times, ranges["inrush", "times"], "inrush", at)
                what = f"The inrush of {name} lasts"
                yield Value(load.id, what, load.inrush_s, ranges["inrush", "s"], "inrush", at)


def _summed_w(device: Device) -> float:
    return sum(load.rated_a**2 * load.ohms for load in device.loads)


def _coils(assessed: Assessed) -> Iterator[Value]:
    """Watts of each relay's coil at the vehicle's volts."""
    vehicle = assessed.vehicle
    nominal_v = vehicle.description.vehicle.nominal
    for relay in vehicle.all_of("relay"):
        coil = relay.written.coil
        if coil is None or coil.ohms <= 0:
            continue
        where = written_at(vehicle, "devices", relay.id, "coil", "ohms")
        what = f"The coil of {called(relay.title, relay.id)} with {coil.ohms:g} ohm takes"
        row = likely()["relay", "W"]
        yield Value(f"{relay.id}.coil", what, nominal_v**2 / coil.ohms, row, "ohms", where)


def _sources(assessed: Assessed) -> Iterator[Value]:
    """Capacity and ohms of batteries, current and ohms of what charges them."""
    ranges = likely()
    for source in assessed.vehicle.supply.sources:
        said, line = source.written, source.where
        name = called(source.id.capitalize(), source.id)
        if isinstance(said, written.Battery):
            cells = max(1.0, round(said.volts / CELL_V))
            row = ranges["battery", "Ah"]
            yield Value(source.id, f"{name} holds", said.capacity, row, "capacity", line)
            if said.resistance > 0 and row.holds(said.capacity):
                product = said.resistance * said.capacity / cells
                what = f"{name} has {said.resistance:g} ohm at {said.capacity:g} Ah, which makes"
                row = ranges["battery", "ohm Ah per cell"]
                yield Value(source.id, what, product, row, "resistance", line)
            continue
        if isinstance(said, written.Generator) and said.curve:
            row = ranges[source.kind, "A"]
            most_a = max(amps for _, amps in said.curve)
            yield Value(source.id, f"{name} gives up to", most_a, row, "curve", line)
        if (source.kind, "ohm") in ranges and said.resistance > 0:
            row = ranges[source.kind, "ohm"]
            yield Value(source.id, f"{name} has", said.resistance, row, "resistance", line)


def _amount(value: float, unit: str) -> str:
    return f"{significant(value, 3)} {unit}"
