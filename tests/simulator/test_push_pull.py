"""Outputs that push and pull, halves of a bridge, and what lets go of both, in a small vehicle.

A motor hangs between two halves of a bridge, a lamp on an output of its own; each reading against
the circuit simulator, whose own outputs switch to one side or the other and are told of the sheet.
"""

from __future__ import annotations

import shutil

import pytest

from buildbook.electrical.network import volts_while_on
from buildbook.export.results import results
from buildbook.pipeline import work_out
from tests.conftest import TESTS
from tests.simulator.compare import disagreements
from tests.simulator.read import folder

STATES = """
  lit: {about: The fuse is in and the lamp is lit, share: 100 %}
  opening: {about: The flap opens}
  closing: {about: The flap closes}
  let go: {about: Both halves of the bridge let go}
"""
MODULE = """
  module:
    kind: controller
    name: Flap module
    at: battery-box
    system: lighting
    contact: blade-6.3
    pins: {M: feed, G: ground, H: second ground, O1: flap open, O2: flap close, O3: marker lamp}
    power: {feeds: M, grounds: [G, H], works from: 6 V}
    drivers:
      O1: {side: push-pull, bridge: O2, ground: H, limit: 5 A, ohms: 100 mohm,
        "on": opening, released: let go, suppressed: yes}
      O2: {side: push-pull, bridge: O1, duty: 60 %, limit: 5 A, ohms: 100 mohm,
        "on": closing, released: let go, suppressed: yes}
      O3: {side: push-pull, limit: 3 A, "on": lit}
  flap:
    kind: motor
    name: Flap
    at: tail
    system: lighting
    plug: sealed-2
    pins: {1: open, 2: close}
    draws:
      {from: 1, to: 2, ohms: 5 ohm, in: [opening, closing], works from: 4 V, what: the flap moves}
  marker:
    kind: lamp
    name: Marker lamp
    at: tail
    system: lighting
    plug: sealed-2
    pins: {1: feed, 2: return}
    draws: {amps: 1 A, at: 13.5 V, in: lit, what: the marker lamp lights}
"""
CIRCUITS = """
  module ground: {join: [module.G, G1], system: lighting}
  second ground: {join: [module.H, G1], system: lighting}
  flap open: {join: [module.O1, flap.1], system: lighting}
  flap close: {join: [module.O2, flap.2], system: lighting}
  marker feed: {join: [module.O3, marker.1], system: lighting}
  marker return: {join: [marker.2, G1], system: lighting}
"""


def written(folder_, change=lambda text: text):
    """The trailer with a flap module in place of its lamp's fuse."""
    text = (TESTS / "vehicles" / "two-wire" / "vehicle.yaml").read_text(encoding="utf-8")
    for old, new in (
        ("  lit: {about: The fuse is in and the lamp is lit, share: 100 %}\n", STATES.lstrip("\n")),
        ("[F1.out, lamp.1]", "[F1.out, lamp.1, module.M]"),
        ("  G1: {kind", MODULE.lstrip("\n") + "  G1: {kind"),
        ("\nrope:", CIRCUITS.rstrip("\n") + "\n\nrope:"),
    ):
        assert old in text
        text = text.replace(old, new)
    folder_.mkdir(exist_ok=True)
    (folder_ / "vehicle.yaml").write_text(change(text), encoding="utf-8")
    return folder_


@pytest.fixture(scope="module")
def flap(tmp_path_factory):
    made = written(tmp_path_factory.mktemp("flap"))
    result, problems = work_out(made)
    assert result is not None, problems
    return made, result


def test_a_motor_between_two_halves_turns_one_way_and_then_the_other(flap):
    """By Ohm's law: 5 ohm and two outputs of 100 mohm at 12.7 V behind some 0.4 ohm of thin wire,
    contacts, fuse and battery, through which the work lamp's 4 A flow too in part."""
    across = {
        state: flap[1].solved.meter[state].across("flap.1~", "flap.2~")
        for state in ("lit", "opening", "closing", "let go")
    }
    full_v = 12.7 * 5 / (5 + 2 * 0.1 + 0.4)
    assert across["opening"] == pytest.approx(full_v, rel=0.05)
    assert across["closing"] == pytest.approx(-0.6 * full_v, rel=0.05)
    assert across["lit"] == pytest.approx(0, abs=1e-6)
    assert across["let go"] == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize(
    ("state", "pin", "kind", "volts"),
    [
        ("lit", "module.O1", "steady", 0.0),
        ("lit", "module.O3", "steady", 12.6),
        ("opening", "module.O1", "steady", 12.4),
        ("opening", "module.O2", "steady", 0.3),
        ("opening", "module.O3", "steady", 0.0),
        ("closing", "module.O2", "average", 7.5),
        ("closing", "module.O1", "steady", 0.2),
        ("let go", "module.O1", "floating", None),
        ("let go", "module.O2", "floating", None),
    ],
)
def test_a_meter_at_an_output_shows_where_it_pulls(flap, state, pin, kind, volts):
    reading = flap[1].readings[state].at_pin(pin)
    assert reading.kind == kind
    if volts is not None:
        assert reading.volts.nominal == pytest.approx(volts, abs=0.3)


@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")
@pytest.mark.parametrize("state", ["lit", "opening", "closing", "let go"])
def test_every_reading_agrees_with_a_simulated_bridge(flap, state, tmp_path):
    made, result = flap
    found = disagreements(folder(made), results(result), state, tmp_path)
    assert found.kinds.total() > 15
    assert not found.off


def test_halves_that_both_pulse_drive_both_ways_alike(tmp_path):
    """With 60 percent at both halves the motor has that share of its volts either way."""
    made = written(
        tmp_path / "alike",
        lambda text: text.replace("bridge: O2,", "bridge: O2, duty: 60 %,"),
    )
    result, problems = work_out(made)
    assert result is not None, problems
    opening, closing = (
        result.solved.meter[state].across("flap.1~", "flap.2~") for state in ("opening", "closing")
    )
    assert opening == pytest.approx(-closing, rel=0.01)
    found = disagreements(folder(made), results(result), "opening", tmp_path)
    assert found.kinds["average"] >= 3 and not found.off
    (load,) = result.vehicle.devices["flap"].loads
    on = [volts_while_on(result.solved.meter[s], load) for s in ("opening", "closing")]
    assert on == pytest.approx([opening / 0.6, opening / 0.6], rel=0.01)


WRONG = {
    "two duties": (
        "ground: H, limit: 5 A,",
        "ground: H, duty: 30 %, limit: 5 A,",
        "differ in `duty`",
    ),
    "the other half names another": ("bridge: O1", "bridge: O3", "no other half"),
    "the other half is none": ("bridge: O2, ground: H", "bridge: M", "no other half"),
    "both are on": ('"on": closing', '"on": [opening, closing]', "both halves of the bridge"),
    "on and released": ("released: let go, suppressed", "released: opening, suppressed", "on and"),
    "pulses what hangs on its feed": (
        'side: push-pull, limit: 3 A, "on": lit}',
        'side: push-pull, duty: 40 %, limit: 3 A, "on": lit}',
        "which hangs on its feed",
    ),
    "one side only": (
        "side: push-pull, limit: 3 A",
        "released: closing, limit: 3 A",
        "no push-pull",
    ),
}


@pytest.mark.parametrize("case", WRONG)
def test_a_bridge_that_is_none_is_a_problem_at_its_line(case, tmp_path):
    old, new, said = WRONG[case]

    def change(text):
        if "hangs on its feed" in said:
            text = text.replace("  marker return: {join: [marker.2, G1], system: lighting}\n", "")
            text = text.replace("lamp.1, module.M]", "lamp.1, module.M, marker.2]")
        return text.replace(old, new, 1)

    made = written(tmp_path / "wrong", change)
    assert old in MODULE
    result, problems = work_out(made)
    assert result is None
    assert any(said in problem.what for problem in problems), problems
    assert all(problem.where.line for problem in problems)


def test_a_half_that_does_not_pull_down_is_told_by_its_output_and_stops_the_motor(flap):
    faultfinding = flap[1].faultfinding
    name = "open contact:module.O1-low"
    assert faultfinding.faults[name].title == "module output O1 does not pull to its ground"
    effects = {(e.load, e.state): e.effect for e in faultfinding.effects[name]}
    assert effects["flap", "closing"] == "dead"
    assert ("flap", "opening") not in effects


def test_the_motor_s_wires_reversed_turn_it_the_wrong_way(flap):
    swapped = flap[1].faultfinding.faults["swap flap.1 flap.2"]
    effects = {(e.load, e.state): e.effect for e in flap[1].faultfinding.effects[swapped.id]}
    assert effects["flap", "opening"] == effects["flap", "closing"] == "runs backwards"


def test_volts_of_a_fault_are_those_while_the_motor_is_driven(flap):
    """What pulses closes it alone: no pulse makes the 12 V of the other way more than they are."""
    swapped = flap[1].faultfinding.effects["swap flap.1 flap.2"]
    assert all(10 < effect.healthy_v < 12.7 for effect in swapped)
