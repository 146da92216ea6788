"""Every printed reading of the example against the circuit simulator; minutes, on request."""

from __future__ import annotations

import pytest

from tests.conftest import EXAMPLE
from tests.simulator.compare import disagreements
from tests.simulator.read import folder
from tests.simulator.test_vehicles import built_of

STATES = [str(state) for state in folder(EXAMPLE)["states"]]


@pytest.mark.parametrize("state", STATES)
def test_every_place_agrees_with_the_simulator(state, lapwing, tmp_path):
    found = disagreements(folder(EXAMPLE), built_of(lapwing), state, tmp_path)
    print(f"{state}: {dict(found.kinds)}, {len(found.off)} off")
    assert not found.off
