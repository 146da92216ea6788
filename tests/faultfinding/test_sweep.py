"""Every open fault of the test vehicles is found again by following the book's own steps."""

from __future__ import annotations

import numpy as np
import pytest

from buildbook.electrical.faults import networks_of
from buildbook.electrical.network import volts_while_on
from buildbook.electrical.settle import Settler
from buildbook.electrical.solve import network_of
from buildbook.faultfinding import breaking
from buildbook.faultfinding.faults import case_of, open_faults
from buildbook.faultfinding.find import ODD
from buildbook.faultfinding.sweep import sweep
from buildbook.result import Result
from tests.once import swept_of


def networks(result: Result):
    return networks_of(network_of(result.vehicle, result.harness, result.solved))


@pytest.fixture(params=["two_wire", "motorcycle", "lapwing"])
def result(request) -> Result:
    return request.getfixturevalue(request.param)


def test_every_fault_is_in_one_symptom_or_silent(result):
    finding = result.faultfinding
    listed = [suspect for symptom in finding.symptoms for suspect in symptom.suspects]
    swaps = {f.id for f in finding.faults.values() if f.mode == "swap"}
    assert len(listed) == len({*listed})
    assert {*listed, *finding.silent} - swaps == {*finding.faults} - swaps


def test_every_wire_fuse_ground_and_contact_is_broken_once(result):
    branches = {fault.branch for fault in result.faultfinding.faults.values()}
    devices = result.vehicle.devices.values()
    assert {f"wire:{wire}" for wire in result.harness.wires} <= branches
    assert {f"{b.kind}:{b.id}" for d in devices for b in d.bonds} <= branches
    assert {f"contact:{c.id}" for d in devices for c in d.contacts} <= branches
    assert {f"load:{x.id}" for d in devices for x in d.loads} <= branches
    assert "battery" in branches


def test_steps_are_told_apart_by_half_a_volt_and_split_their_suspects(result):
    for symptom in result.faultfinding.symptoms:
        # Grounds alone are told apart by less: what stands across a good one is no volts at all.
        least_v = 0.1 if symptom.title == ODD else 0.5
        for step in symptom.steps:
            assert step.high_v - step.low_v >= least_v - 1e-9
            assert step.low and step.high and not {*step.low} & {*step.high}


def test_symptom_ids_and_titles_are_each_given_once(result):
    symptoms = result.faultfinding.symptoms
    assert len({s.id for s in symptoms}) == len({s.title for s in symptoms}) == len(symptoms)


def test_what_carries_no_current_need_not_be_opened(motorcycle):
    swept = swept_of(motorcycle)
    for name, state in networks(motorcycle).items():
        for row, fault in enumerate(swept.faults):
            if fault.mode != "open":
                continue
            ((opened,), _) = state.settle_each([case_of(motorcycle.vehicle, fault, name)])
            assert np.abs(swept.faulted[name][row, :-1] - opened).max() < 0.05, (name, fault.id)


def test_swaps_shared_out_to_several_networks_read_as_in_one(motorcycle, monkeypatch):
    whole = swept_of(motorcycle)
    monkeypatch.setattr(breaking, "TOGETHER", 7)
    shared = sweep(motorcycle.vehicle, motorcycle.harness, motorcycle.sizing, motorcycle.solved)
    assert sum(fault.mode == "swap" for fault in whole.faults) > 2 * breaking.TOGETHER
    assert shared.faults == whole.faults and shared.blown.keys() == whole.blown.keys()
    for state, volts in whole.faulted.items():
        assert np.abs(shared.faulted[state] - volts).max() < 1e-9


def test_in_a_single_circuit_every_break_stops_everything(two_wire):
    finding = two_wire.faultfinding
    breaks = [
        f for f, effects in finding.effects.items() if effects and finding.faults[f].mode == "open"
    ]
    assert {e.effect for f in breaks for e in finding.effects[f]} == {"dead"}
    assert {finding.faults[f].kind for f in breaks} >= {"wire", "pin", "fuse", "load", "battery"}
    assert {f"open wire:{wire}" for wire in two_wire.harness.wires} <= {*breaks}


def test_a_frame_that_carries_nothing_may_come_loose_unseen(two_wire):
    # Battery and lamp both return to the ground point's stud, none through the frame.
    assert "open ground:G1" in two_wire.faultfinding.silent


def test_behind_an_open_return_the_lamp_is_at_battery_voltage(two_wire):
    # No current flows, so nothing drops: the whole circuit stands at the battery's EMF.
    vehicle = two_wire.vehicle
    (lamp,) = (x for d in vehicle.devices.values() for x in d.loads)
    (wire,) = two_wire.harness.wire_at[lamp.to_pin]
    state = networks(two_wire)[sorted(lamp.states)[0]]
    emf = vehicle.supply.battery_data.volts
    assert state.open([f"wire:{wire}"])[lamp.to_pin] == pytest.approx(emf, abs=1e-3)
    assert state.open([f"load:{lamp.id}"])[lamp.to_pin] == pytest.approx(0.0, abs=1e-3)


def test_a_blown_fuse_is_found_at_its_own_tabs(motorcycle):
    finding = motorcycle.faultfinding
    blown = [s for s in finding.symptoms for f in s.suspects if f == "open fuse:F2"]
    probed = {step.node for step in blown[0].steps}
    assert probed & {"F2.in~", "F2.out~"}


def test_an_open_relay_coil_does_what_its_open_contact_does(lapwing):
    effects = lapwing.faultfinding.effects
    coil, contact = effects["open load:K3.coil"], effects["open contact:K3.30-87"]
    seen = {(e.load, e.state, e.effect) for e in contact}
    assert seen and {(e.load, e.state, e.effect) for e in coil} == seen


def test_a_short_before_every_fuse_burns_and_is_sought_with_the_battery_off(lapwing):
    finding, battery = lapwing.faultfinding, "battery.+"
    (cable,) = lapwing.harness.wire_at[battery]
    (symptom,) = (s for s in finding.symptoms if f"short wire:{cable}" in s.suspects)
    assert symptom.burns and not symptom.blows
    assert {step.what for step in symptom.steps} <= {"ohms"}
    assert 0 < len([f for s in finding.symptoms if s.burns for f in s.suspects]) < 10


def test_a_short_behind_a_fuse_opens_it_and_burns_nothing(motorcycle):
    finding = motorcycle.faultfinding
    wires = {w.wire for w in motorcycle.sizing.wires.values() if w.fuse}
    behind = [f"short wire:{w}" for w in wires if finding.blown.get(f"short wire:{w}")]
    assert behind
    stopped = [f for f in behind if all(b.fuse for b in finding.blown[f])]
    assert len(stopped) >= len(behind) - 1


def opened(result, name, state):
    """A state with one of the open faults in it."""
    network = network_of(result.vehicle, result.harness, result.solved)
    branches = (element.branch for element in network.elements)
    fault = open_faults(result.vehicle, result.harness, branches)[name]
    cases, settler = [case_of(result.vehicle, fault, state)], Settler(network)
    return settler.solution(cases, settler.settle(cases), 0)


def test_an_open_battery_is_the_one_that_the_author_named(two_batteries):
    """The lower of two gives the radio at the tap all its volts."""
    (radio,) = two_batteries.vehicle.devices["radio"].loads
    assert volts_while_on(two_batteries.solved.meter["ready"], radio) > radio.works_from_v
    broken = opened(two_batteries, "open battery:lower", "ready")
    assert volts_while_on(broken, radio) < radio.works_from_v


def test_a_dynamo_that_gives_nothing_is_the_one_that_the_author_named(positive_earth):
    assert positive_earth.solved.meter["riding"].alternator_a > 0
    assert opened(positive_earth, "open alternator", "riding").alternator_a == 0
