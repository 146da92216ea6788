"""What a description would alter in a harness that exists."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from buildbook.checks.rules import as_built, description_older
from buildbook.sizing.as_built import as_built_now
from tests.checks import minimal as m
from tests.checks.bench import about
from tests.checks.rules.test_completeness import BATTERY, LAMP


def built(colour: str):
    """A lamp's wire, and the record of it."""
    vehicle = m.vehicle((BATTERY, LAMP), {"feed": ("battery.+", "lamp.1")})
    wire = m.wire("101", "feed", m.end("battery.+"), m.end("lamp.1"), colour=colour)
    harness, sizing = m.harness((wire,)), m.sizing(m.sized("101"))
    return vehicle, harness, sizing, as_built_now(vehicle, harness, sizing)


def test_wire_of_another_colour_than_it_was_built_with():
    vehicle, harness, sizing, _ = built("BU")
    for colour, fires in (("RD", ["feed"]), ("BU", [])):
        old = replace(vehicle, as_built=built(colour)[-1])
        assert about(as_built, m.assessed(old, harness, sizing_=sizing)) == fires


@pytest.mark.parametrize(
    ("built_at", "built_on", "fires"),
    # The bench is revision A of 1 March 2026.
    [
        ("A", "2026-03-01", []),
        ("A", "2026-03-02", ["vehicle"]),
        ("B", None, ["vehicle"]),
        ("AA", "2026-02-01", ["vehicle"]),
        ("A", None, []),
        ("first", None, []),
    ],
)
def test_description_that_is_older_than_what_was_built(built_at, built_on, fires):
    vehicle, harness, sizing, record = built("BU")
    date = datetime.date.fromisoformat(built_on) if built_on else None
    old = record.model_copy(update={"revision": built_at, "date": date})
    assessed = m.assessed(replace(vehicle, as_built=old), harness, sizing_=sizing)
    assert about(description_older, assessed) == fires
