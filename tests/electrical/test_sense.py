"""An alternator that senses at the panel holds its volts there, as the circuit simulator has it."""

from __future__ import annotations

import shutil

import pytest

from buildbook.export.results import results
from tests.changed_motorcycle import motorcycle_with
from tests.simulator.compare import disagreements
from tests.simulator.read import folder

HELD_V = 14.3
SENSE_OHM = 4667.0
"""3 mA at 14 V through its regulator."""


SENSES = """      S: {use: sense, contact: blade-6.3}
    draws: {from: S, to: B-, ohms: 4667 ohm, in: all, what: the regulator reads}
"""


def with_sense(tmp_path, circuit):
    """The motorcycle with a sense terminal at its alternator, wired as `circuit` says."""
    return motorcycle_with(tmp_path, "    senses: rectifier.S\n", SENSES, circuit)


@pytest.fixture(scope="module")
def sensing(tmp_path_factory):
    target = tmp_path_factory.mktemp("sensing")
    wire = "  sense: {join: [panel.B, rectifier.S], system: supply, signal: yes}\n"
    return target, with_sense(target, wire)


@pytest.mark.parametrize("state", ["riding", "braking at night"])
def test_the_regulator_holds_its_volts_at_the_panel(sensing, state):
    volts = sensing[1].solved.meter[state].volts
    given_a = sensing[1].solved.meter[state].alternator_a
    ground = volts["rectifier.B-~"]
    # Its 15 mohm are what it gives way under load; the sense wire carries 3 mA.
    held = volts["rectifier.S~"] - ground
    assert held == pytest.approx(HELD_V - 0.015 * given_a, abs=2e-3)
    assert volts["rectifier.B+~"] - ground > held + 0.02
    assert volts["panel.B"] - ground == pytest.approx(held, abs=5e-3)


@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")
@pytest.mark.parametrize("state", ["idle", "riding", "braking at night"])
def test_every_reading_agrees_with_a_simulated_regulator_that_senses(sensing, state, tmp_path):
    written = folder(sensing[0])
    found = disagreements(written, results(sensing[1]), state, tmp_path)
    assert found.kinds.total() > 50
    assert not found.off


def test_without_its_sense_wire_it_goes_by_its_own_volts(tmp_path):
    result = with_sense(
        tmp_path, "  sense: {join: [rectifier.S], system: supply, capped at: seat}\n"
    )
    at = result.solved.meter["riding"]
    own = at.volts["rectifier.B+~"] - at.volts["rectifier.B-~"]
    assert own == pytest.approx(HELD_V - 0.015 * at.alternator_a, abs=2e-3)
