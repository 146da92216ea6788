"""Rows about what a meter shows: sensors and pairs of tracks, low to high."""

from __future__ import annotations

from typing import Any

from buildbook.electrical.reading import Reading
from buildbook.electrical.span import Span
from buildbook.result import Result


def sensor_rows(result: Result) -> list[dict[str, Any]]:
    """One row a reading of a sensor: where the meter goes, and what it shows, low to high."""
    return [
        {
            "device": table.device,
            "pin": table.pin,
            "meter_plus": table.meter_pin,
            "meter_minus": table.minus_pin,
            "characteristic": table.law,
            "state": table.state,
            "when": row.when,
            **_span("unplugged_ohm", row.ohms),
            **_span("volts", row.volts),
            "alternating": row.alternating,
            "level": row.level,
        }
        for table in result.sensors.tables
        for row in table.rows
    ]


def pair_rows(result: Result) -> list[dict[str, Any]]:
    """One row a position of a double track: both tracks, and their sum or ratio."""
    return [
        {
            "device": pair.device,
            "tracks": " ".join(pair.tracks),
            "what": pair.what,
            "wanted": pair.wanted,
            "within": pair.within,
            "when": row.when,
            **_span("first_v", row.first_v),
            **_span("second_v", row.second_v),
            **_span("together", row.together),
            "agrees": pair.agrees,
        }
        for pair in result.sensors.pairs
        for row in pair.rows
    ]


def reading_rows(result: Result) -> list[dict[str, Any]]:
    """One row a place in a state: what a meter shows there, and of which kind it is."""
    pins = (pin.id for c in result.harness.connectors.values() for pin in c.pins)
    places = dict.fromkeys([*result.vehicle.pins, *pins, *result.harness.splices])
    found = []
    for state, shown in result.readings.items():
        for place in places:
            reading = shown.at_pin(place)
            if reading is not None:
                row = {"state": state, "place": place, **reading_columns(reading)}
                found.append({**row, "rms_v": reading.rms_v})
    return found


def reading_columns(reading: Reading) -> dict[str, Any]:
    """What a meter shows, and of each value the lowest and highest of a healthy vehicle, V."""
    return {
        "kind": reading.kind,
        **_span("volts", reading.volts),
        **_span("lower", reading.low),
        **_span("upper", reading.high),
        "why": reading.why,
    }


def _span(name: str, span: Span | None) -> dict[str, Any]:
    ends = ("low", "nominal", "high")
    return {f"{name}_{end}": round(getattr(span, end), 4) if span else "" for end in ends}
