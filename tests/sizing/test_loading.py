"""What the solutions of the network ask of a wire: for ever, cranking, and charging."""

import pytest

from buildbook.electrical.model import Solved
from buildbook.sizing.fuse_load import FLAT_BATTERY
from buildbook.sizing.installation import Candidate, installations
from buildbook.sizing.loading import WireLoad, loading_of
from tests.checks import minimal as m
from tests.sizing.small import trailer, written
from tests.sizing.test_load_paths import solution

WIRE = "101"


def demand(states, meter=None, charging=0.0, curve_a=60.0):
    """Of a wire from alternator to battery; `states` is state -> (its amps, the starter's)."""
    starter = m.device(
        "starter", "starter", "1 2", loads=(m.load("starter", "starter.1", "starter.2", 0.06),)
    )
    wire = m.wire(WIRE, "c", m.end("out"), m.end("plus"))
    supply = {
        "battery": {"between": ["battery.+", "battery.-"]},
        "alternator": {
            "between": ["alternator.B", "alternator.D"],
            "curve": [["1500 rpm", "5 A"], ["3000 rpm", f"{curve_a} A"]],
        },
    }
    alternator = m.device("alternator", "alternator", "B D")
    vehicle = m.vehicle((starter, alternator), supply=supply)

    def solutions(amps):
        return {
            state: solution(
                ("source", "battery", "plus", "minus", charging or -a, 0.01),
                ("wire", WIRE, "out", "plus", a, 0.005),
                ("source", "alternator", "out", "minus", -a, 0.01),
                ("load", "starter", "plus", "minus", cranks, 0.06),
                charging_a=charging,
                state=state,
            )
            for state, (a, cranks) in amps.items()
        }

    solved = Solved(solutions(meter or states), solutions(states))
    family = vehicle.wire_families["thin-wall"]
    chosen = {WIRE: Candidate(family, family.conductors[3])}
    return loading_of(vehicle, m.harness((wire,)), solved, chosen).wire_loads[WIRE]


def test_what_flows_while_a_starter_turns_is_kept_apart():
    found = demand({"off": (1.0, 0.0), "on": (-7.0, 0.0), "cranking": (30.0, 150.0)})
    assert found == WireLoad(7.0, 30.0, 30.0, "cranking")


def test_a_wire_that_no_starter_uses_asks_nothing_of_cranking():
    assert demand({"off": (1.0, 0.0), "on": (7.0, 0.0)}) == WireLoad(7.0, 0.0, 7.0, "on")


def test_a_wire_used_only_while_cranking_asks_nothing_for_ever():
    assert demand({"cranking": (9.0, 150.0)}) == WireLoad(0.0, 9.0, 9.0, "cranking")


@pytest.mark.parametrize(("meter_a", "steady_a"), [(8.0, 8.0), (-8.0, 8.0), (2.0, 7.0)])
def test_average_or_root_mean_square_whichever_is_more(meter_a, steady_a):
    found = demand({"on": (7.0, 0.0)}, {"on": (meter_a, 0.0)})
    assert found == WireLoad(steady_a, 0.0, steady_a, "on")


def test_a_flat_battery_may_take_all_that_the_alternator_can_give():
    assert demand({"on": (7.0, 0.0)}, charging=7.0) == WireLoad(60.0, 0.0, 60.0, FLAT_BATTERY)
    # what flows already is more than the curve gives: the state is that of the solution
    assert demand({"on": (7.0, 0.0)}, charging=7.0, curve_a=7.0) == WireLoad(7.0, 0.0, 7.0, "on")


def test_the_site_has_the_height_and_a_share_for_every_rope():
    told = trailer()
    told["vehicle"]["altitude"] = "1500 m"
    vehicle, harness = written(told)
    where = installations(vehicle, harness)
    battery = ("source", "battery", "plus", "minus", -1.0, 0.01)
    solved = {"lit": solution(battery, *(("wire", w, "plus", w, 0.0, 0.01) for w in harness.wires))}
    chosen = {w: p.candidates[3] for w, p in where.items()}
    found = loading_of(vehicle, harness, Solved(solved, solved), chosen)
    assert found.site.altitude_m == 1500.0
    # nothing flows: the least share, 0.2, is taken
    assert found.site.shares == {vehicle.runs[0].id: 0.2}
    assert found.wire_loads.keys() == harness.wires.keys()
