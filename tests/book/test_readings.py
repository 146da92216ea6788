"""Readings of loads: what works is shown and tested, what merely leaks is off."""

from __future__ import annotations

import pytest

from buildbook.book.chapters.harnesses import sheet_of, terminated
from buildbook.book.chapters.systems import load_rows
from buildbook.book.shared_rows import across_load, current, load_cells
from tests.once import drawings_of


@pytest.fixture(scope="module")
def lamps(lapwing):
    return [d for d in lapwing.vehicle.devices.values() if d.kind == "lamp"]


def test_a_lamp_is_shown_in_a_state_that_lights_it(lapwing, lamps):
    rows = load_rows(lapwing, lamps)
    lit = [
        [cell for cell in (*row.cells, *(other.shown for other in row.elsewhere)) if cell]
        for row in rows
    ]
    assert len(lit) > 10 and all(lit)
    assert all(cell[1].volts.nominal > 6.0 for cells in lit for cell in cells), "half of 12 V"


def test_the_dark_filament_of_a_headlamp_between_two_grounds_is_off(lapwing):
    """Its other filament's return lifts the ground: some millivolts drive some milliamps back."""
    dipped = next(x for x in lapwing.vehicle.devices["headlamp-left"].loads if "dipped" in x.what)
    state = "full load at night"
    assert current(lapwing, state, f"load:{dipped.id}") > 1e-4
    assert abs(across_load(lapwing, dipped, state).volts.nominal) < 0.1
    assert load_cells(lapwing, dipped, [state]) == [None]
    assert load_cells(lapwing, dipped, ["raining"]) != [None]


def test_twin_connectors_are_set_alike(lapwing):
    """The right headlamp's longer name put its pins below its face, the left one's beside it."""
    sheet = sheet_of(lapwing, "accessories")
    forms = {p.sheet.name: p.form for p in terminated(lapwing, drawings_of(lapwing), sheet)}
    assert forms["headlamp-left"] == forms["headlamp-right"] == "beside"


def test_what_a_driver_pulses_works_while_it_is_pulsed(lapwing):
    """The mean of its pulses is under what it works from; while it is on it has the battery's."""
    pulsed = [x for d in lapwing.vehicle.devices.values() for x in d.loads if x.pulsed_by]
    assert {"injector-1", "boost-solenoid", "throttle.1"} <= {load.id for load in pulsed}
    shown = [
        cell
        for load in pulsed
        for state in load.states
        if current(lapwing, state, f"load:{load.id}") > 0.05
        for cell in load_cells(lapwing, load, [state])
    ]
    assert len(shown) > 40
    assert all(cell and cell[1].kind in ("average", "between") for cell in shown)
