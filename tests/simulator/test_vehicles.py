"""Every printed reading of whole vehicles against the circuit simulator, told of data sheets only.

The decks are written from the description's YAML, from lengths and sizes of the wires as built,
and from handbooks (`sheets.py`); the package's own network and netlists have no part in them.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from buildbook.export.results import results
from tests.conftest import EXAMPLE, STARTER, TESTS
from tests.once import once
from tests.simulator.compare import disagreements
from tests.simulator.read import folder

pytestmark = pytest.mark.skipif(
    shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed"
)

STATES = {
    "two_wire": ["lit"],
    "motorcycle": [
        "off",
        "ignition on",
        "cranking",
        "idle",
        "riding",
        "braking at night",
        "indicating right",
    ],
    "positive_earth": [
        "off",
        "key turned",
        "ticking over",
        "riding",
        "riding at night",
        "main beam",
        "braking at night",
        "stopping",
    ],
    "starter": ["off", "ready", "running", "night"],
    "two_batteries": ["off", "ready", "cranking", "running", "running at night"],
    "lapwing": ["off", "ignition on"],
}
"""The example's other states take minutes: tests/benchmarks."""
FOLDERS = {
    "two_wire": TESTS / "vehicles" / "two-wire",
    "motorcycle": TESTS / "vehicles" / "motorcycle",
    "positive_earth": TESTS / "vehicles" / "positive-earth",
    "starter": STARTER,
    "two_batteries": TESTS / "vehicles" / "two-batteries",
    "lapwing": EXAMPLE,
}
built_of = once(results)


@pytest.mark.parametrize(
    ("vehicle", "state"), [(car, state) for car, states in STATES.items() for state in states]
)
def test_every_place_agrees_with_the_simulator(vehicle, state, request, tmp_path: Path):
    built = built_of(request.getfixturevalue(vehicle))
    found = disagreements(folder(FOLDERS[vehicle]), built, state, tmp_path)
    assert found.kinds.total() > 5
    assert found.kinds["steady"] + found.kinds["average"] > found.kinds.total() / 2
    assert not found.off


@pytest.mark.parametrize("vehicle", [vehicle for vehicle in STATES if vehicle != "lapwing"])
def test_all_states_of_the_small_vehicles_are_simulated(vehicle):
    assert STATES[vehicle] == [str(state) for state in folder(FOLDERS[vehicle])["states"]]
