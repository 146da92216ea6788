"""Finds currents, ohms and capacities that things of their kind never have."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import fsum
from typing import Any

from buildbook.checks.likely import Range, likely, with_slip
from buildbook.checks.model import Finding
from buildbook.checks.naming import called, words
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.description import models as written
from buildbook.description.edited import Edit
from buildbook.figures import significant
from buildbook.problem import Where
from buildbook.vehicle.model import Device, Load, Vehicle
from buildbook.vehicle.supply import entries
from buildbook.words.say import mark, say

RULE = "value-unlikely"
SEVERITY = "warning"
SOURCE = "checks/likely.yaml: the range of each kind, each row with its source"
CELL_V = 2.1
"""Of one lead-acid cell, full and at rest."""

SMALL_RELAY_A, LARGE_RELAY_A = 60.0, 100.0
LAMPS = {
    "lamp for dipped beam": frozenset({"dipped", "dip", "low"}),
    "lamp for main beam": frozenset({"main", "high"}),
    "lamp for braking": frozenset({"brake", "stop"}),
    "lamp for the tail": frozenset({"tail", "side", "position"}),
    "lamp for turning": frozenset({"indicator", "turn"}),
    "lamp for work": frozenset({"work"}),
    "lamp inside": frozenset({"cabin", "interior", "inside"}),
}
"""Row of what is likely -> words of a pin's use, or of the lamp's name, that mean it."""


DRAWS = mark("{name} draws {value}: such things have {least} to {most}.")
HAS = mark("{name} has {value}: such things have {least} to {most}.")
INRUSH = mark(
    "The inrush of {name} is, in running currents, {value}: such things have {least} to {most}."
)
LASTS = mark("The inrush of {name} lasts {value}: such things have {least} to {most}.")
GIVES = mark("{name} gives up to {value}: such things have {least} to {most}.")
HOLDS = mark("{name} holds {value}: such things have {least} to {most}.")
JOINT = mark("The joint of {name} has {value}: such things have {least} to {most}.")
UNITS = frozenset(
    {
        mark("ohm", context="unit"),
        mark("ohm while on", context="unit"),
        mark("ohm Ah per cell", context="unit"),
        mark("times", context="unit"),
    }
)
"""Of ranges, those that are words."""


@dataclass(frozen=True)
class Value:
    """What is said of something, beside the range that such things have."""

    about: str
    what: str
    """What is told of it, with holes for the value and the range, to be said."""
    value: float
    range: Range
    key: str
    where: Where
    path: tuple[str | int, ...] = ()
    """Of the number, where it is one that a factor mends."""
    written: float = 0.0
    inverse: bool = False
    """Whether the value falls as what is written grows: watts by ohms."""
    curve: tuple[tuple[float, float], ...] = ()
    """Of a generator: the number is the largest of these amps."""
    inrush: float = 0.0
    """Of a draw with an inrush: running currents that it takes then."""
    name: str = ""
    """What `what` calls it."""
    said: Mapping[str, Any] = field(default_factory=dict)
    """What else it says."""

    @property
    def text(self) -> str:
        unit = self.range.unit
        return say(
            self.what,
            name=self.name,
            value=_amount(self.value, unit),
            least=_amount(self.range.least, unit),
            most=_amount(self.range.most, unit),
            **self.said,
        )


def check(assessed: Assessed) -> Iterator[Finding]:
    """Each value that is written, in watts where volts differ from vehicle to vehicle."""
    for value in (*_draws(assessed), *_coils(assessed), *_sources(assessed)):
        if value.range.holds(value.value):
            continue
        yield Finding(
            RULE,
            "warning",
            value.about,
            with_slip(value.text, value.range.slip(value.value)),
            say(
                "Read the label or measure it, and correct the number or the unit of "
                "`{key}`; if it is right, waive this and say why.",
                key=value.key,
            ),
            say(value.range.source),
            value.where,
            edits=_edits(value),
        )


def _edits(value: Value) -> tuple[Edit, ...]:
    """The number as it would be written without the slip."""
    if value.key == "inrush" and value.path:
        return ((value.path, None),)
    factor = value.range.factor(value.value)
    if value.curve:
        curve = [(rpm, amps / factor) for rpm, amps in value.curve]
        return () if factor == 1.0 else ((value.path, curve),)
    if not value.path or factor == 1.0:
        return ()
    mended = value.written * factor if value.inverse else value.written / factor
    slipped = value.inrush and likely()["inrush of a motor", "times"].holds(value.inrush)
    both = ((*value.path[:-1], "inrush"), None)  # where they agree, both slipped
    return ((value.path, mended), *([both] if slipped else []))


def _draws(assessed: Assessed) -> Iterator[Value]:
    """What every load takes while on at the volts it is stated at, and when switched on."""
    ranges, vehicle = likely(), assessed.vehicle
    for device in vehicle.devices.values():
        if device.kind == "relay" or len(device.loads) != len(device.written.draws):
            continue
        whole = _summed_w(device)
        for index, (load, draw) in enumerate(zip(device.loads, device.written.draws, strict=True)):
            key = next(k for k in ("amps", "watts", "ohms") if getattr(draw, k) is not None)
            path = ("devices", device.id, "draws", index, key)
            where = written_at(vehicle, *path)
            name = called(device.title, load.id)
            kind = _kind(vehicle, device, load)
            if row := ranges.get((kind, "W")):
                # a controller's small inputs are draws too: only the largest is judged for least,
                # but of a lamp each filament that says what it is for
                watts = load.rated_a**2 * load.ohms
                if watts >= row.least or whole < row.least or kind in LAMPS:
                    number = getattr(draw, key)
                    inverse = key == "ohms"
                    times = load.inrush_a / load.rated_a if load.rated_a > 0 else 0.0
                    yield Value(
                        load.id,
                        DRAWS,
                        watts,
                        row,
                        key,
                        where,
                        path,
                        number,
                        inverse,
                        inrush=times,
                        name=name,
                    )
            elif row := ranges.get((kind, "ohm while on")):
                yield Value(
                    load.id,
                    HAS,
                    load.ohms,
                    row,
                    key,
                    where,
                    path,
                    getattr(draw, key),
                    key != "ohms",
                    name=name,
                )
            if load.inrush_a > 0 and load.rated_a > 0:
                at = written_at(vehicle, "devices", device.id, "draws", index, "inrush")
                times = load.inrush_a / load.rated_a
                row = ranges[_inrush_of(device), "times"]
                gone = ("devices", device.id, "draws", index, "inrush")
                yield Value(
                    load.id, INRUSH, times, row, "inrush", at, gone, load.inrush_a, name=name
                )
                row = ranges["inrush", "s"]
                yield Value(load.id, LASTS, load.inrush_s, row, "inrush", at, name=name)


def _kind(vehicle: Vehicle, device: Device, load: Load) -> str:
    """A motor by what it turns, a lamp by what it is for, where that is said."""
    turns = load.behaviour.turns if load.behaviour else ""
    if device.kind == "motor" and (turns or device.written.caution == "fuel"):
        return turns or "pump"
    return _lamp_for(vehicle, device, load) if device.kind == "lamp" else device.kind


def _lamp_for(vehicle: Vehicle, device: Device, load: Load) -> str:
    """By the uses of its own pins, which tell filaments apart; else by its name."""
    ends = [vehicle.pins[p].use for p in (load.from_pin, load.to_pin) if p in vehicle.pins]
    for texts in (ends, [device.id, device.title]):
        said = set(words(*texts))
        rows = {row for row, told in LAMPS.items() if told & said}
        if len(rows) == 1:
            return min(rows)
    return "lamp"


def _inrush_of(device: Device) -> str:
    if device.kind == "lamp":
        return "inrush of a lamp"
    return "inrush of a motor" if device.kind in ("motor", "starter") else "inrush"


def _summed_w(device: Device) -> float:
    return fsum(load.rated_a**2 * load.ohms for load in device.loads)


def _coils(assessed: Assessed) -> Iterator[Value]:
    """Watts of each relay's coil at the vehicle's volts."""
    vehicle = assessed.vehicle
    nominal_v = vehicle.description.vehicle.nominal
    for relay in vehicle.all_of("relay"):
        coil = relay.written.coil
        if coil is None or coil.ohms <= 0:
            continue
        where = written_at(vehicle, "devices", relay.id, "coil", "ohms")
        name = called(relay.title, relay.id)
        row = likely()[_relay(relay), "W"]
        path = ("devices", relay.id, "coil", "ohms")
        watts = nominal_v**2 / coil.ohms
        yield Value(
            f"{relay.id}.coil",
            mark(
                "The coil of {name} with {ohms:g} ohm takes {value}: such things have {least} to "
                "{most}."
            ),
            watts,
            row,
            "ohms",
            where,
            path,
            coil.ohms,
            True,
            name=name,
            said={"ohms": coil.ohms},
        )


def _relay(relay: Device) -> str:
    """By what its contact may carry: a large contact takes a large coil to close."""
    most_a = max((c.limit_a or 0.0 for c in relay.contacts), default=0.0)
    if most_a >= LARGE_RELAY_A:
        return "relay of 100 A and more"
    return "relay up to 60 A" if 0 < most_a <= SMALL_RELAY_A else "relay"


def _sources(assessed: Assessed) -> Iterator[Value]:
    """Capacity and ohms of batteries, current and ohms of what charges them, ground joints."""
    ranges, vehicle = likely(), assessed.vehicle
    written_by = {
        name: (path, entry) for _, name, path, entry in entries(vehicle.description.supply)
    }
    for source in vehicle.supply.sources:
        path, said = written_by[source.id]
        name = called(source.id.capitalize(), source.id)
        if isinstance(said, written.Battery):
            yield from _battery(vehicle, source.id, said, path)
            continue
        if isinstance(said, written.Generator) and said.curve:
            row = ranges[source.kind, "A"]
            most_a = max(amps for _, amps in said.curve)
            where = written_at(vehicle, *path, "curve")
            at = (*path, "curve")
            curve = tuple(said.curve)
            yield Value(
                source.id, GIVES, most_a, row, "curve", where, at, most_a, False, curve, name=name
            )
        if (source.kind, "ohm") in ranges and said.resistance > 0:
            row = ranges[source.kind, "ohm"]
            at = (*path, "resistance")
            where = written_at(vehicle, *at)
            ohms = said.resistance
            yield Value(source.id, HAS, ohms, row, "resistance", where, at, ohms, name=name)
    for ground in vehicle.all_of("ground"):
        joint = ground.written.joint
        if joint is not None:
            row = ranges["ground", "ohm"]
            at = ("devices", ground.id, "joint")
            where, name = written_at(vehicle, *at), called(ground.title, ground.id)
            yield Value(ground.id, JOINT, joint, row, "joint", where, at, joint, name=name)


def _battery(
    vehicle: Vehicle, name: str, said: written.Battery, path: tuple[str | int, ...]
) -> Iterator[Value]:
    """Its capacity; and its ohms, which go with that and with its cells."""
    ranges = likely()
    cells = max(1.0, round(said.volts / CELL_V))
    title = called(name.capitalize(), name)
    row, at = ranges["battery", "Ah"], (*path, "capacity")
    where = written_at(vehicle, *at)
    ah = said.capacity
    yield Value(name, HOLDS, ah, row, "capacity", where, at, ah, name=title)
    if said.resistance > 0 and row.holds(said.capacity):
        product = said.resistance * said.capacity / cells
        told = {"ohms": said.resistance, "ah": ah}
        row, at = ranges["battery", "ohm Ah per cell"], (*path, "resistance")
        where = written_at(vehicle, *at)
        yield Value(
            name,
            mark(
                "{name} has {ohms:g} ohm at {ah:g} Ah, which makes {value}: such things have "
                "{least} to {most}."
            ),
            product,
            row,
            "resistance",
            where,
            at,
            said.resistance,
            name=title,
            said=told,
        )


def _amount(value: float, unit: str) -> str:
    word = say(unit, context="unit") if unit in UNITS else unit
    return f"{significant(value, 3)} {word}"
