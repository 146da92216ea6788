"""Finds settings of the vehicle that hardly any has: drops, air, tax, volts, dates."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from math import fsum
from typing import Any

from buildbook.checks.mends_of_volts import agree, nominal_mended, opposed, turned, volts_of
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.description import models as written
from buildbook.description.edited import Edit
from buildbook.figures import significant
from buildbook.vehicle.model import Vehicle
from buildbook.vehicle.power_model import PowerSource
from buildbook.vehicle.supply import entries
from buildbook.words.joined import all_of
from buildbook.words.say import say

RULE = "setting-unlikely"
SEVERITY = "error or warning"
SOURCE = f"{PRACTICE}: what wiring is planned for; tax in the world's countries, from memory"
DROP = (0.01, 0.1)
USUAL_DROP = 0.03
CRITICAL_DROP = (0.005, 0.1)
"""Shares of nominal, feed and return; planners' tables say 2 to 5 %, old 6 V systems more."""
AIR_C = (10.0, 130.0)
"""Hottest air that a zone is given; without a shield beside a turbocharger up to 130."""
HOT_PLACE_C = 60.0
"""Beside an engine at work the air is hotter than this (70 to 120 °C)."""
HOT = frozenset({"starter", "alternator", "dynamo", "magneto", "injector", "ignition coil"})
"""What sits on or beside an engine."""
USUAL_C = 60.0
"""Air in which what follows from a slip is tried to be gone."""
TAX = (0.0, 0.3)
YEARS = (1990, 2050)
CHARGING = (1.02, 1.25)
USUAL_CHARGING = 1.12
"""Volts of what charges them, of the same: 13.5 to 14.8 V for 12.7 V; 7.2 V for 6.3 V."""

LEAST_AT_V, LEAST_SHARE = 5.0, 0.1
"""Of the volts that a thing is for, below which none works: a motor turns from a fifth, a lamp
glows from a quarter. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Likely ranges: what cannot be at all is refused as it is read."""
    vehicle = assessed.vehicle
    yield from _shares(vehicle)
    yield from _date(vehicle)
    yield from _air(vehicle)
    yield from _volts(vehicle)
    yield from _works_from(vehicle)


def _shares(vehicle: Vehicle) -> Iterator[Finding]:
    said = vehicle.description.vehicle
    for key, value, (least, most) in (
        ("drop", said.drop, DROP),
        ("critical drop", said.critical_drop, CRITICAL_DROP),
        ("tax", said.tax, TAX),
    ):
        if not least <= value <= most and not (key == "tax" and value == 0):
            yield _finding(
                vehicle,
                key,
                say(
                    "`{key}` is {value:.2%}: usual is {least:.1%} to {most:.0%}.",
                    key=key,
                    value=value,
                    least=least,
                    most=most,
                ),
                say(
                    "Correct `{key}`; 3 % and for what is critical 2 % are usual drops.",
                    key=key,
                ),
                ("vehicle", key),
                ((("vehicle", key), USUAL_DROP),) if key != "tax" else (),
            )
    if said.critical_drop > said.drop and {"drop", "critical_drop"} <= said.model_fields_set:
        yield _finding(
            vehicle,
            "critical drop",
            say(
                "`critical drop` allows more ({critical:.1%}) than `drop` ({drop:.1%}).",
                critical=said.critical_drop,
                drop=said.drop,
            ),
            say("Allow what is critical less, or as much."),
            ("vehicle", "critical drop"),
        )


def _date(vehicle: Vehicle) -> Iterator[Finding]:
    given: list[tuple[str, datetime.date | None, tuple[str, ...]]] = [
        ("vehicle", vehicle.description.vehicle.date, ("vehicle", "date"))
    ]
    given += [
        (name, part.dated, ("parts", name, "dated"))
        for name, part in vehicle.description.parts.items()
    ]
    for about, date, path in given:
        if date is not None and not YEARS[0] <= date.year <= YEARS[1]:
            yield _finding(
                vehicle,
                f"date of {about}",
                say(
                    "The date {date} of {about} lies in the year {year}: hardly any book does.",
                    date=date,
                    about=about,
                    year=date.year,
                ),
                say("Correct the date: year, month, day."),
                path,
            )


def _air(vehicle: Vehicle) -> Iterator[Finding]:
    """Of each zone, and that it is as hot as what works in it makes it."""
    hot = {d.point for d in vehicle.devices.values() if d.kind in HOT}
    for name, zone in vehicle.description.zones.items():
        beside = sorted(
            {
                p
                for r in vehicle.runs
                if r.zone == name
                for p in (r.from_point, r.to_point)
                if p in hot and all(x.zone == name for x in vehicle.runs_at(p))
            }
        )
        path = ("zones", name, "ambient")
        if not AIR_C[0] <= zone.ambient <= AIR_C[1]:
            yield _finding(
                vehicle,
                name,
                say(
                    "The air of zone '{zone}' is {ambient:g} degC: likely is {least:g} to {most:g} "
                    "degC.",
                    zone=name,
                    ambient=zone.ambient,
                    least=AIR_C[0],
                    most=AIR_C[1],
                ),
                say("Measure it, and correct `ambient` of zone '{zone}'.", zone=name),
                path,
                ((path, USUAL_C),),
            )
        elif beside and zone.ambient < HOT_PLACE_C:
            on_it = sorted(
                d.id for d in vehicle.devices.values() if d.point in beside and d.kind in HOT
            )
            yield _finding(
                vehicle,
                name,
                say(
                    "The air of zone '{zone}' is {ambient:g} degC, and in it works {device}: "
                    "beside an engine it is 70 to 120 degC hot.",
                    zone=name,
                    ambient=zone.ambient,
                    device=on_it[0],
                ),
                say(
                    "Measure it with a hot engine, and correct `ambient` of zone '{zone}'; or lead "
                    "the last stretch through a zone of its own.",
                    zone=name,
                ),
                path,
            )


def _volts(vehicle: Vehicle) -> Iterator[Finding]:
    """Nominal volts, the batteries between the posts, and what charges them agree."""
    nominal_v = vehicle.description.vehicle.nominal
    string = [s for s in vehicle.supply.batteries if s.id in vehicle.supply.string]
    rest_v = fsum(volts_of(s) for s in string)
    if not agree(rest_v, nominal_v):
        remedy, edits = nominal_mended(vehicle, rest_v)
        against = opposed(vehicle)
        if against:
            remedy, edits = turned(vehicle, against[1])
        yield Finding(
            RULE,
            "error",
            vehicle.supply.battery.id,
            _between_posts(vehicle, rest_v, against),
            remedy,
            SOURCE,
            written_at(vehicle, "vehicle", "nominal"),
            edits=edits,
        )
        return
    for source in vehicle.supply.generators:
        share = volts_of(source) / rest_v if rest_v else 1.0
        kind = say(source.kind)
        said: dict[str, Any] = {
            "source": called(kind, source.id),
            "volts": volts_of(source),
            "rest": significant(rest_v, 3),
        }
        if not CHARGING[0] <= share <= CHARGING[1]:
            yield Finding(
                RULE,
                "error" if share < 1 else "warning",
                source.id,
                say(
                    "The {source} holds {volts:g} V, and the battery has {rest} V at rest: it "
                    "never charges.",
                    **said,
                )
                if share < 1
                else say(
                    "The {source} holds {volts:g} V, and the battery has {rest} V at rest: hardly "
                    "any battery is charged so.",
                    **said,
                ),
                say(
                    "Correct `volts` of the {kind}, or fit one for {nominal:g} V.",
                    kind=kind,
                    nominal=nominal_v,
                ),
                SOURCE,
                source.where,
                edits=tuple(
                    (("supply", *path[1:], "volts"), USUAL_CHARGING * rest_v)
                    for _, name, path, _ in entries(vehicle.description.supply)
                    if name == source.id
                ),
            )


def _between_posts(
    vehicle: Vehicle, rest_v: float, against: tuple[PowerSource, PowerSource] | None
) -> str:
    string = [s.id for s in vehicle.supply.batteries if s.id in vehicle.supply.string]
    said: dict[str, Any] = {
        "nominal": vehicle.description.vehicle.nominal,
        "rest": significant(rest_v, 3),
        "batteries": all_of(string or [vehicle.supply.battery.id]),
    }
    if against is None:
        return say(
            "The vehicle is of nominal {nominal:g} V, and between its posts stand {rest} V of "
            "{batteries}.",
            **said,
        )
    return say(
        "The vehicle is of nominal {nominal:g} V, and between its posts stand {rest} V of "
        "{batteries}: {turned} stands against {other}.",
        turned=against[1].id,
        other=against[0].id,
        **said,
    )


def _works_from(vehicle: Vehicle) -> Iterator[Finding]:
    """No load asks for more volts than the vehicle ever has."""
    highest_v = max(
        [vehicle.description.vehicle.nominal]
        + [s.highest_v for s in vehicle.supply.sources if s.kind != "magneto"]
    ) * max(1, len(vehicle.supply.string))
    for device in vehicle.devices.values():
        for index, draw in enumerate(device.written.draws):
            path = ("devices", device.id, "draws", index, "works from")
            if draw.works_from is not None and draw.works_from > highest_v:
                yield Finding(
                    RULE,
                    "error",
                    device.id,
                    say(
                        "{device} works from {works_from:g} V, and the vehicle never has more than "
                        "{highest_v} V.",
                        device=called(device.title, device.id),
                        works_from=draw.works_from,
                        highest_v=significant(highest_v, 3),
                    ),
                    say("Correct `works from`: perhaps the decimal point slipped, or it says mV."),
                    SOURCE,
                    written_at(vehicle, *path),
                    edits=((path, draw.works_from / 10),),
                )
            elif device.kind != "sensor" and _works_from_nothing(draw):
                yield _finding(
                    vehicle,
                    device.id,
                    say(
                        "{device} is for {at:g} V and said to work from {volts} V (`works from`): "
                        "hardly anything does.",
                        device=called(device.title, device.id),
                        at=draw.at,
                        volts=significant(draw.works_from or 0.0, 3),
                    ),
                    say(
                        "Correct `works from`: perhaps the decimal point slipped, or it says mV "
                        "for V."
                    ),
                    path,
                )


def _works_from_nothing(draw: written.Draw) -> bool:
    if not draw.works_from or draw.at is None or draw.at < LEAST_AT_V:
        return False
    return draw.works_from < LEAST_SHARE * draw.at


def _finding(
    vehicle: Vehicle,
    about: str,
    text: str,
    remedy: str,
    path: tuple[str | int, ...],
    edits: tuple[Edit, ...] = (),
) -> Finding:
    where = written_at(vehicle, *path)
    return Finding(RULE, "warning", about, text, remedy, SOURCE, where, edits=edits)
