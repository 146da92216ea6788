"""Faults made by hand on the bench and the hauler: as a case, to a driver, and on the rope."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from buildbook.electrical.readings import SLOW
from buildbook.electrical.solve import settler_of
from buildbook.faultfinding.diagnosis import DriverReport, diagnose, fault_table, one_by_one
from buildbook.faultfinding.effects import SeenLoads, effects_in_state, seen_loads
from buildbook.faultfinding.entries import CHARGING, LAMP, _upset, said_by_drivers
from buildbook.faultfinding.excited import _dark, _unexcited
from buildbook.faultfinding.faults import case_of, fault_title, weight
from buildbook.faultfinding.find import _effects, _shorted_title
from buildbook.faultfinding.intermittent import wiggles
from buildbook.faultfinding.model import (
    Blown,
    ComplaintPatterns,
    Effect,
    Fault,
    Lead,
    Pattern,
    Symptom,
)
from buildbook.faultfinding.sensor_outputs import SensorOutput, show_outputs
from buildbook.faultfinding.shorts import part_shorts
from buildbook.faultfinding.sweep import slow_places, unread_places
from tests.checks import minimal as m
from tests.electrical.sensor_bench import bench
from tests.faultfinding.test_complaints import sign
from tests.faultfinding.test_sensor_ends import swap
from tests.once import swept_of

NIGHT = "running at night"


def fault(branch, mode="open", ohms=0.0):
    return Fault(f"{mode} {branch}", branch.partition(":")[0], branch, "", mode, ohms)


def test_each_kind_of_fault_alters_one_thing(two_batteries):
    vehicle = two_batteries.vehicle
    poor = case_of(vehicle, fault("pin:lamp-switch.2", "resistive", 0.3), NIGHT)
    assert (poor.state, poor.ohms) == (NIGHT, {"pin:lamp-switch.2": 0.3})
    assert not poor.opened and not poor.closed
    stuck = case_of(vehicle, fault("contact:lamp-switch.1-2", "stuck"), "ready")
    assert stuck.closed == {"contact:lamp-switch.1-2"} and not stuck.opened and not stuck.ohms
    short = case_of(vehicle, fault("wire:7", "short"), NIGHT)
    assert short.closed == {"short:7"} and not short.opened and not short.ohms
    coil = case_of(vehicle, fault("load:start-relay.coil"), "cranking")
    assert coil.opened == {"load:start-relay.coil", "contact:start-relay.30-87"}


def test_half_of_a_push_pull_output_is_named_by_what_it_pulls_to():
    contact = SimpleNamespace(id="ecu.9-", kind="pull-down", from_pin="ecu.9")
    vehicle = SimpleNamespace(devices={"ecu": SimpleNamespace(contacts=(contact,))})
    branch = SimpleNamespace(kind="contact", ref="ecu.9-")
    said = fault_title(vehicle, None, branch)
    assert said == "ecu output 9 does not pull to its ground"


@pytest.fixture(scope="module")
def table(two_batteries):
    return fault_table(two_batteries.vehicle, two_batteries.harness, swept_of(two_batteries))


def test_two_things_that_nothing_fails_together_are_told_one_by_one(table):
    """A lamp whose twin burns and a radio whose neighbour on the fuse plays: two faults."""
    works = ("rear-lamp", "cabin-lamp")
    report = DriverReport(NIGHT, ("front-lamp",), ("radio",), works)
    (lamp, of_lamp), (radio, of_radio) = one_by_one(table, report)
    assert (lamp, radio) == ("front-lamp", "radio")
    assert of_lamp == diagnose(table, DriverReport(NIGHT, ("front-lamp",), (), works))
    branches = [
        {s.fault.branch.partition(":")[2].partition(".")[0] for s in one.suspects}
        for one in (of_lamp, of_radio)
    ]
    assert "front-lamp" in branches[0] and "radio" not in branches[0]
    assert "radio" in branches[1] and "front-lamp" not in branches[1]


@pytest.mark.parametrize(
    ("symptom", "said"),
    [
        ({"blows": ("F1",), "blows_in": ("on",)}, "F1"),
        ({"burns": True, "blows_in": ("on",)}, "A cable smokes, and no fuse stops it"),
        ({"blows": ("F1",), "burns": True, "blows_in": ("on",)}, "no fuse stops it"),
    ],
)
def test_a_short_is_called_by_what_opens_or_by_smoke(symptom, said):
    made = Symptom("", "", "on", (), (), (), **symptom)
    title = _shorted_title(SimpleNamespace(states=("on", "off")), made)
    assert said in title and title.endswith("(on)")
    assert ("smokes" in title) == bool(symptom.get("burns"))
    assert ("F1" in title) == bool(symptom.get("blows"))


def test_sensors_that_change_places_read_wrong_where_both_are_read_and_nowhere_else():
    at = bench()
    nodes = settler_of(at.vehicle, at.harness, at.solved).prepared.network.nodes
    healthy = {
        state: np.array([*(solution.volts[node] for node in nodes), 0.0])
        for state, solution in at.solved.meter.items()
    }
    both = swap(("ecu.5", "ecu.6"))
    swept = SimpleNamespace(
        faults=(both,),
        healthy=healthy,
        faulted={state: volts[None, :] for state, volts in healthy.items()},
    )
    seen = seen_loads(at.vehicle, nodes, "battery.-~")
    found = _effects(at.vehicle, swept, seen)[both.id]
    assert {(e.load.partition(".")[0], e.state) for e in found if e.effect == "wrong reading"} == {
        (sensor, state)
        for sensor in ("temperature", "pressure")
        for state in ("standing", "braking", "turning")
    }


LOST = ("gives: {2: {return: 3, supply: 1, hall: {", "when lost: {what: it stops, dead: [valve]}\n")


def test_what_is_seen_of_loads_is_marked_at_their_places():
    old, new = LOST
    at = bench((old, f"{new}    {old}"))
    nodes = settler_of(at.vehicle, at.harness, at.solved).prepared.network.nodes
    seen = seen_loads(at.vehicle, nodes, "battery.-~")
    names = [load.id for load in seen.loads]
    (loss,) = seen.losses
    assert {names[n].partition(".")[0] for n in loss.of} == {"pickup"}
    assert [names[n] for n in loss.dead] == ["valve"]
    assert loss.stuck_on.size == 0
    one_way = {name.partition(".")[0] for name, yes in zip(names, seen.one_way, strict=True) if yes}
    assert {"pickup", "pressure", "transmitter"} <= one_way
    assert not {"valve", "temperature", "gauge"} & one_way
    assert not seen.turns.any()


def test_the_author_s_line_comes_with_its_weights_and_the_computed_ones_beside_it(two_batteries):
    swept = swept_of(two_batteries)
    every = {f.branch: f for f in swept.faults if f.mode == "open"}
    lamp, radio = every["load:front-lamp"], every["load:radio"]
    effects = {f.id: () for f in swept.faults}
    effects[lamp.id] = (Effect("front-lamp", NIGHT, "dead", 0.0, 24.0),)
    symptoms = (Symptom("S1", "", NIGHT, (), (lamp.id, radio.id), ()),)
    told, lead = sign(dead=["front-lamp"], states=[NIGHT]), Lead("S1", (lamp.id,), 1, 0)
    pattern = Pattern((told,), (lead,), (), 0)
    named = ComplaintPatterns("It is dark", "", (pattern,), ())
    lines = said_by_drivers(
        two_batteries.vehicle, swept.faults, effects, [radio.id], symptoms, [named]
    )
    groups = {line.name: line.group for line in lines}
    assert groups["It is dark"] == LAMP
    own = next(line for line in lines if line.name == "It is dark")
    assert own.weights == {lamp.id: weight(lamp)}
    (charging,) = (line for line in lines if line.group == CHARGING)
    assert charging.weights == {radio.id: weight(radio)}


def test_what_upsets_more_besides_is_less_likely_behind_one_line(two_batteries):
    devices = two_batteries.vehicle.devices
    alone, more = fault("wire:1"), fault("wire:2")
    dark = [Effect(x, NIGHT, "dead", 0.0, 24.0) for x in ("front-lamp", "rear-lamp", "cabin-lamp")]
    found = _upset(
        two_batteries.vehicle,
        {alone.id: alone, more.id: more},
        {alone.id: dark[:1], more.id: dark},
        [devices["front-lamp"]],
    )
    assert found == {alone.id: weight(alone), more.id: pytest.approx(weight(more) / 3)}


def state_network(lamp_v):
    return SimpleNamespace(healthy=SimpleNamespace(volts={"lamp.1~": lamp_v, "lamp.2~": 0.0}))


def dark(order, ids, volts, limit_a=None):
    limit_a = limit_a or {"running": 50.0, "rest": 0.0}
    lamp = SimpleNamespace(id="lamp", from_pin="lamp.1", to_pin="lamp.2", working_v=6.0)
    well_v = {"running": 0.1, "rest": 12.0}
    broken = SimpleNamespace(plain={state: state_network(well_v[state]) for state in order})
    return _dark(
        SimpleNamespace(limit_a=limit_a),
        [lamp],
        broken,
        [fault(name) for name in ids],
        {state: np.array(rows) for state, rows in volts.items()},
        {"lamp.1~": 0, "lamp.2~": 1},
    ).tolist()


@pytest.mark.parametrize("order", [("running", "rest"), ("rest", "running")])
def test_a_lamp_is_dark_that_has_next_to_no_volts_at_rest_or_is_broken_itself(order):
    """Whatever it has while the engine runs: then its ends are alike though all is well."""
    rows = {"rest": [[12, 0, 0], [1, 0, 0], [12, 0, 0]], "running": [[12, 0, 0]] * 3}
    assert dark(order, ["wire:1", "wire:2", "load:lamp"], rows) == [False, True, True]


def test_a_lamp_that_lights_in_no_state_at_rest_starts_nothing_and_tells_nothing():
    rows = {"running": [[0, 0, 0]], "rest": [[0, 0, 0]]}
    assert dark(("running", "rest"), ["wire:1"], rows, {"running": 50.0, "rest": 50.0}) == [False]


def test_with_no_field_what_a_fault_opened_stays_open_and_the_generator_gives_nothing():
    generator = SimpleNamespace(id="dynamo", excited_pin="dynamo.L", plus_pin="dynamo.B+")
    earthing = SimpleNamespace(id="dynamo.L-B-", from_pin="dynamo.L", to_pin="dynamo.B-")
    devices = {"dynamo": SimpleNamespace(contacts=(earthing,)), "F1": None}
    vehicle = SimpleNamespace(devices=devices)
    short = fault("wire:9", "short")
    opened = (
        Blown("F1", "running", 90.0),
        Blown("ecu.3", "running", 30.0),
        Blown("F1", "cranking", 9.0),
        Blown("", "running", 400.0),
    )
    case = _unexcited(
        vehicle, generator, SimpleNamespace(blown={short.id: opened}), short, "running"
    )
    assert case.opened == {"dynamo", "fuse:F1", "contact:ecu.3"}
    assert case.closed == {"short:9", "contact:dynamo.L-B-"}


@pytest.mark.parametrize(("of_v", "gives"), [(5.0, (0.4, 3.6)), (None, (0.5, 4.5))])
def test_a_sensor_cut_off_from_its_pull_up_gives_what_its_own_supply_makes_of_it(of_v, gives):
    """It has 4 of 5 V: a ratiometric one gives four fifths. Node 3 is joined to it, 4 is not."""
    sensor = SensorOutput(
        pin=0,
        back=1,
        supply=2,
        supply_v=5.0,
        of_v=of_v,
        gives_v=(0.5, 4.5),
        ohms=10_000.0,
        parts=frozenset({"load:s"}),
        wires=frozenset({"wire:1"}),
        nodes=np.array([0, 3, 4]),
    )
    volts = np.array([[0.2, 0.2, 4.2, 0.2, 5.0]] * 3)
    low, high = volts.copy(), volts.copy()
    faults = [fault("wire:2"), fault("load:s"), fault("wire:1", "short")]
    show_outputs(low, high, volts, faults, [sensor])
    assert low[0] == pytest.approx([gives[0] + 0.2, 0.2, 4.2, gives[0] + 0.2, 5.0])
    assert high[0] == pytest.approx([gives[1] + 0.2, 0.2, 4.2, gives[1] + 0.2, 5.0])
    assert (low[1:] == volts[1:]).all() and (high[1:] == volts[1:]).all()


def test_where_a_wire_may_be_on_the_body_or_something_open_ohms_tell_which(two_batteries):
    """The lamps' wire behind the switch: on the body next to nothing, else not."""
    harness = two_batteries.harness
    wire = next(w.id for w in harness.wires.values() if w.circuit == "work lamps")
    short, broken = fault(f"wire:{wire}", "short"), fault("pin:lamp-switch.2")
    (step,) = part_shorts(two_batteries.vehicle, harness, [short, broken], ())
    assert (step.state, step.what) == ("off", "ohms")
    assert (step.low, step.high) == ((short.id,), (broken.id,))
    assert step.low_v < 1 < step.high_v


def test_a_fuse_is_wiggled_in_its_seat_and_a_relay_in_its_foot(two_batteries):
    found = wiggles(
        two_batteries.vehicle,
        two_batteries.harness,
        [fault("fuse:F2"), fault("pin:F2.out"), fault("pin:start-relay.85")],
    )
    names = {spot.where: spot.faults for spot in found}
    assert set(names["fuse F2 in its seat"]) == {"open fuse:F2", "open pin:F2.out"}
    assert names["relay start-relay in its foot"] == ("open pin:start-relay.85",)


def test_of_two_that_explain_it_the_one_that_upsets_more_is_less_likely(table):
    found = diagnose(table, DriverReport(NIGHT, ("front-lamp",)))
    shares = {s.fault.branch: (s.share, s.also, s.fault) for s in found.suspects}
    lamp, also, own = shares["load:front-lamp"]
    both, beside, fuse = shares["fuse:F2"]
    assert (also, beside) == ((), ("rear-lamp",))
    assert both / lamp == pytest.approx(weight(fuse) / 2 / weight(own))
    assert sum(share for share, _, _ in shares.values()) <= 1 + 1e-9


@pytest.mark.parametrize(("mean_v", "effects"), [(6.9, set()), (7.6, {"stuck on"})])
def test_what_is_pulsed_is_seen_to_be_on_all_the_time_from_half_way_there_on(mean_v, effects):
    """A heater at a quarter of 12 V has 3 V of mean; all the time on 12 V, half way 7.5 V."""
    heater = m.load("heater", "heater.1", "heater.2", 1.0, works_from_v=6.0)
    seen = SeenLoads(
        (heater,),
        np.array([0]),
        np.array([-1]),
        np.array([6.0]),
        {"heater": 0},
        driven=np.array([0.25]),
        passive=np.array([True]),
    )
    healthy, faulted = np.array([3.0, 0.0]), np.array([[mean_v, 0.0]])
    found = effects_in_state("on", seen, healthy, faulted, [fault("wire:1")])[0]
    assert {effect.effect for effect in found} == effects


def test_where_a_meter_comes_to_no_rest_nothing_is_read_and_where_it_swings_its_mean_is():
    kinds = {
        "a": ("steady", ""),
        "b": ("floating", ""),
        "c": ("unsettled", ""),
        "d": ("between", SLOW),
        "e": ("between", "else"),
    }

    def at(place):
        kind = kinds.get(place)
        return None if kind is None else SimpleNamespace(kind=kind[0], why=kind[1])

    shown = SimpleNamespace(at=at)
    assert unread_places(shown, [*kinds, "nowhere"]) == {"b", "c"}
    assert slow_places(shown, [*kinds, "nowhere"]) == {"d"}
