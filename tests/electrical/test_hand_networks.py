"""Networks small enough to work out on paper."""

import numpy as np
import pytest

from buildbook.electrical.case import Case
from buildbook.electrical.faults import networks_of, settle_everywhere
from buildbook.electrical.settle import Settler
from buildbook.vehicle.generators import generator_limit_a
from tests.electrical.networks import STATE, element, network

EXACT = pytest.approx


def solve(net, **case):
    settler = Settler(net)
    cases = [Case(STATE, **case)]
    return settler.solution(cases, settler.settle(cases), 0)


def test_two_wires_and_a_lamp_divide_the_voltage_by_ohms_law():
    net = network(
        element("feed", "wire", "plus", "lamp", 0.19),
        element("lamp", "load", "lamp", "back", 2.0),
        element("return", "wire", "back", "zero", 0.20),
    )
    found = solve(net)
    # 12 V over 0.01 + 0.19 + 2.0 + 0.20 = 2.4 ohm is 5 A
    assert found.current_a["lamp"] == EXACT(5.0, rel=1e-6)
    assert found.volts["plus"] == EXACT(11.95, rel=1e-6)
    assert found.across("lamp", "back") == EXACT(10.0, rel=1e-6)
    assert found.charging_a == EXACT(-5.0, rel=1e-6)


def test_shared_ground_lifts_both_loads():
    net = network(
        element("one", "load", "plus", "ground", 4.0),
        element("two", "load", "plus", "ground", 4.0),
        element("strap", "ground", "ground", "zero", 0.39),
    )
    # 12 V over 0.01 + 2 + 0.39 = 2.4 ohm is 5 A, which lifts the ground by 1.95 V
    assert solve(net).volts["ground"] == EXACT(1.95, rel=1e-6)


def test_balanced_bridge_carries_nothing_across():
    net = network(
        element("a", "wire", "plus", "left", 1.0),
        element("b", "wire", "plus", "right", 10.0),
        element("c", "wire", "left", "zero", 2.0),
        element("d", "wire", "right", "zero", 20.0),
        element("bridge", "wire", "left", "right", 5.0),
    )
    assert solve(net).current_a["bridge"] == EXACT(0.0, abs=1e-7)


def test_any_mesh_agrees_with_dense_nodal_analysis():
    """Conductance matrix solved whole by numpy, as any textbook on circuits sets it up."""
    random = np.random.default_rng(7)
    names = ["plus", *(f"k{i}" for i in range(20)), "zero"]
    elements = []
    for i in range(60):
        a, b = random.choice(len(names), size=2, replace=False)
        ohms = float(10 ** random.uniform(-3, 3))
        elements.append(element(f"r{i}", "wire", names[a], names[b], ohms))
    elements += [element(f"t{i}", "wire", n, "zero", 50.0) for i, n in enumerate(names[:-1])]
    net = network(*elements)
    place = {n: i for i, n in enumerate(net.nodes)} | {"zero": len(net.nodes)}
    matrix = np.zeros((len(place), len(place)))
    for branch in [e.branch for e in elements]:
        a, b = place[branch.a], place[branch.b]
        matrix[[a, b], [a, b]] += 1 / branch.ohms
        matrix[[a, b], [b, a]] -= 1 / branch.ohms
    matrix[place["plus"], place["plus"]] += 1 / 0.01
    matrix += np.eye(len(place)) * 1e-9
    pushed = np.zeros(len(place))
    pushed[place["plus"]] = 12.0 / 0.01
    expected = np.linalg.solve(matrix[:-1, :-1], pushed[:-1])
    found = solve(net)
    assert [found.volts[n] for n in net.nodes] == EXACT(list(expected), abs=1e-7)


def test_pulsed_load_reads_as_average_and_heats_as_rms():
    net = network(element("injector", "load", "plus", "zero", 12.0, duty=0.25), ohms=1e-6)
    # 1 A for a quarter of the time: 0.25 A average, sqrt(0.25) = 0.5 A rms
    assert solve(net, power=1.0).current_a["injector"] == EXACT(0.25, rel=1e-5)
    assert solve(net, power=0.5).current_a["injector"] == EXACT(0.5, rel=1e-5)


def relay(coil_ohms, **more):
    return network(
        element("feed", "wire", "plus", "86", coil_ohms),
        element("coil", "load", "86", "zero", 90.0),
        element(
            "K1", "contact", "plus", "87", 0.005, control=("86", "zero"), control_v=7.2, **more
        ),
        element("lamp", "load", "87", "zero", 12.0),
    )


def test_relay_closes_above_its_pull_in_voltage():
    assert solve(relay(1.0)).closed == {"K1"}


def test_relay_stays_open_when_its_coil_is_starved():
    # 12 V over 90 + 90 ohm leaves 6 V for the coil
    found = solve(relay(90.0))
    assert found.closed == frozenset()
    assert found.volts["87"] == EXACT(0.0, abs=1e-6)


def test_break_contact_does_the_opposite():
    assert solve(relay(1.0, inverted=True)).closed == frozenset()
    assert solve(relay(90.0, inverted=True)).closed == {"K1"}


def test_relay_that_starves_itself_ends_open_and_does_not_hang():
    net = network(
        element("feed", "wire", "plus", "node", 1.0),
        element("coil", "load", "node", "zero", 90.0),
        element("K1", "contact", "node", "out", 0.005, control=("node", "zero"), control_v=7.2),
        element("greedy", "load", "out", "zero", 0.5),
    )
    found = solve(net)
    assert found.closed == frozenset()
    # Open, 12 V over 91 ohm leaves 11.9 V for the coil; closed, 0.5 ohm leaves it 4 V.
    assert found.unsettled == {"K1"}


def test_a_coil_on_its_own_break_contact_buzzes_and_the_solution_says_so():
    net = network(
        element(
            "K1",
            "contact",
            "plus",
            "87a",
            0.005,
            control=("87a", "zero"),
            control_v=7.2,
            inverted=True,
        ),
        element("coil", "load", "87a", "zero", 90.0),
    )
    assert solve(net).unsettled == {"K1"}


def test_a_relay_that_holds_itself_is_settled():
    assert solve(relay(1.0)).unsettled == frozenset()


def test_a_chain_of_fifty_relays_settles_however_long_it_is():
    links = []
    for i in range(50):
        feed = "plus" if i == 0 else f"out{i - 1}"
        links += [
            element(f"coil{i}", "load", feed, "zero", 90.0),
            element(
                f"K{i}", "contact", "plus", f"out{i}", 0.005, control=(feed, "zero"), control_v=7.2
            ),
        ]
    found = solve(network(*links))
    assert len(found.closed) == 50
    assert found.unsettled == frozenset()


def alternator(load_ohms, limit_a):
    return solve(
        network(
            element("b+", "wire", "gen", "plus", 0.01),
            element("load", "load", "plus", "zero", load_ohms),
            emf_v=12.7,
            ohms=0.008,
            charge_ohms=(14.2 - 12.7) / 5.0,
            alternator_plus="gen",
            alternator_minus="zero",
            regulated_v=14.2,
            alternator_ohms=0.01,
            limit_a={STATE: limit_a},
        )
    )


def test_full_battery_takes_about_its_charge_current():
    found = alternator(1000.0, 50.0)
    # (14.2 - 12.7) V over 0.3 + 0.01 + 0.01 ohm, a little less for the load
    assert found.charging_a == EXACT(1.5 / 0.32, rel=2e-3)


def test_overloaded_alternator_gives_its_limit_and_the_battery_the_rest():
    found = alternator(0.25, 20.0)
    assert found.alternator_a == EXACT(20.0)
    # 12.7 V behind 8 mohm with 20 A pushed in: V (1/0.008 + 4) = 12.7/0.008 + 20
    assert found.volts["plus"] == EXACT((12.7 / 0.008 + 20) / (125 + 4), rel=1e-6)
    assert found.charging_a == EXACT(20.0 - found.volts["plus"] / 0.25, rel=1e-6)


def test_alternator_curve_is_straight_between_its_points_and_zero_below_them():
    curve = [(900.0, 20.0), (2000.0, 42.0), (6000.0, 60.0)]
    assert generator_limit_a(curve, 800) == 0
    assert generator_limit_a(curve, 1450) == EXACT(31.0)
    assert generator_limit_a(curve, 9000) == 60.0


def test_open_return_leaves_the_far_side_at_supply_voltage():
    net = network(
        element("feed", "wire", "plus", "lamp", 0.19),
        element("lamp", "load", "lamp", "back", 2.0),
        element("return", "wire", "back", "zero", 0.20),
    )
    volts = networks_of(net)[STATE].open(["return"])
    assert volts["back"] == EXACT(12.0, abs=1e-6)
    assert volts["zero"] == 0.0


def test_opened_branch_equals_a_network_built_without_it():
    net = relay(1.0)
    state = networks_of(net)[STATE]
    for gone in [e.branch.id for e in net.elements]:
        without = network(*(e for e in net.elements if e.branch.id != gone))
        expected = solve(without).volts
        found = state.open([gone])
        assert {n: found[n] for n in expected} == EXACT(expected, abs=1e-7)


def test_opening_a_coil_feed_drops_its_relay_out():
    volts = networks_of(relay(1.0))[STATE].open(["feed"])
    assert volts["87"] == EXACT(0.0, abs=1e-6)


def test_bad_joint_costs_the_lamp_its_voltage():
    net = network(
        element("feed", "wire", "plus", "lamp", 0.01), element("lamp", "load", "lamp", "zero", 2.0)
    )
    # 2 ohm of lamp, 2 ohm of joint, 0.01 ohm of battery
    volts = networks_of(net)[STATE].change({"feed": 2.0})
    assert volts["lamp"] == EXACT(12.0 * 2 / 4.01, rel=1e-6)


def test_one_state_answers_by_its_names():
    state = networks_of(relay(1.0))[STATE]
    assert state.nodes == ("plus", "86", "87")
    assert {"feed", "coil", "K1", "lamp", "battery"} == {*state.branch_ids()}
    assert state.ends_of("K1") == ("plus", "87")
    assert state.control_of("K1") == (("86", "zero"), 7.2)
    assert state.control_of("lamp") == (("zero", "zero"), float("-inf"))
    assert state.healthy.closed == {"K1"}


def test_a_case_tells_all_as_a_set_of_opens_does():
    state = networks_of(relay(1.0))[STATE]
    case = Case(STATE, opened=frozenset({"feed"}))
    told = state.solution_of(case)
    assert told.closed == frozenset()
    assert told.volts == EXACT(state.solution(["feed"]).volts)
    assert told.volts["87"] == EXACT(0.0, abs=1e-6)
    held = state.solution_of(Case(STATE, opened=frozenset({"feed"}), closed=frozenset({"K1"})))
    # 12 V over 0.01 + 0.005 + 12 ohm
    assert held.current_a["lamp"] == EXACT(12 / 12.015, rel=1e-6)


def test_cases_more_than_go_at_once_come_in_their_order(monkeypatch):
    monkeypatch.setattr("buildbook.electrical.faults.MOST_AT_ONCE", 2)
    states = networks_of(relay(1.0))
    cases = [Case(STATE, opened=frozenset({name})) for name in ("feed", "lamp", "coil", "K1", "x")]
    volts, unsettled = settle_everywhere(states, cases)
    each = [states[STATE].settle_each([case])[0][0] for case in cases]
    assert [list(v) for v in volts] == [EXACT(list(v)) for v in each]
    assert unsettled == [frozenset()] * 5
