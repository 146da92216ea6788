"""States that take more out of the battery than comes in."""

from __future__ import annotations

import pytest

from buildbook.checks.rules import (
    charging_negative,
)
from tests.checks import minimal as m
from tests.checks.bench import about


@pytest.mark.parametrize(("idle_a", "fires"), [(-10.0, ["alternator"]), (-2.0, [])])
def test_charging_balance_weighs_states_by_their_share(idle_a, fires):
    # 0.4 of the day at 5 A charge and 0.6 at the idle current: -4.0 A and +0.8 A.
    supply = {
        "battery": {"between": ["battery.+", "battery.-"]},
        "alternator": {
            "between": ["alternator.B", "alternator.G"],
            "curve": [["1000 rpm", "20 A"]],
        },
    }
    states = {"off": {}, "on": {"share": "40 %"}, "cranking": {"share": "60 %"}}
    vehicle = m.vehicle(
        (m.device("alternator", "alternator", "B G"),), supply=supply, states=states
    )
    solved = m.solved(m.solution("on", charging_a=5.0), m.solution("cranking", charging_a=idle_a))
    assert about(charging_negative, m.assessed(vehicle, solved_=solved)) == fires


@pytest.mark.parametrize(("share", "fires"), [("9 %", []), ("11 %", [("on", "warning")])])
def test_running_state_that_drains_the_battery_is_told_where_it_lasts(share, fires):
    """What is short is put back in the rest of the day."""
    supply = {
        "battery": {"between": ["battery.+", "battery.-"]},
        "alternator": {
            "between": ["alternator.B", "alternator.G"],
            "curve": [["1000 rpm", "20 A"]],
        },
    }
    on = {"engine": "1500 rpm", "share": share}
    states = {"off": {}, "on": on, "cranking": {"share": "50 %"}}
    vehicle = m.vehicle(
        (m.device("alternator", "alternator", "B G"),), supply=supply, states=states
    )
    solved = m.solved(
        m.solution("on", charging_a=-3.0),
        m.solution("off", charging_a=-1.0),
        m.solution("cranking", charging_a=5.0),
    )
    found = list(charging_negative.check(m.assessed(vehicle, solved_=solved)))
    assert [(f.about, f.severity) for f in found] == fires
