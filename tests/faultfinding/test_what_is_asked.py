"""What may be asked of the hauler with two batteries, what it takes and what each suspect answers.

Seconds are added up by hand from `costs.COSTS`, places read off the hauler's description: the dash
is at hand, roof and engine too once the cab's zone reaches them, the box outside under a bonnet.
"""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from buildbook.faultfinding.access import probe_places
from buildbook.faultfinding.breaking import _alive
from buildbook.faultfinding.diagnosis import fault_table
from buildbook.faultfinding.model import Effect, Fault
from buildbook.faultfinding.questions import Asking
from buildbook.faultfinding.tree import NO, YES
from buildbook.faultfinding.unplugged import _stops
from tests.once import swept_of

NIGHT = "running at night"
DRIVE_S, SET_S, PLUG_S, STUD_S, TOP_S, FOOT_S = 600, 5, 45, 30, 20, 45
BONNET_S, SPLICE_S = 40, 600


@pytest.fixture(scope="module")
def asking(two_batteries) -> Asking:
    table = fault_table(two_batteries.vehicle, two_batteries.harness, swept_of(two_batteries))
    return table.asking


def of(asking, *branches) -> list[Fault]:
    known = {f.branch: f for f in asking.swept.faults if f.mode == "open"}
    return [known[branch] for branch in branches]


def asked(asking, faults, states, **more):
    """(what, where, state) -> seconds, other, and the lowest and highest answer of each suspect."""
    found = asking.about(faults, states, **more)
    return {
        (found.what[n], found.nodes[n], found.states[n]): SimpleNamespace(
            seconds=found.seconds[n],
            other=found.others[n],
            low=found.readings[:, n].tolist(),
            high=found.highest[:, n].tolist(),
        )
        for n in range(len(found.what))
    }


def test_a_probe_takes_what_its_place_and_the_way_there_take(two_batteries):
    places = probe_places(two_batteries.vehicle, two_batteries.harness)
    assert places["lamp-switch.1"] == PLUG_S
    assert places["F1.in~"] == places["F2.out~"] == TOP_S
    assert places["FM.in~"] == TOP_S + BONNET_S
    assert places["upper.+"] == STUD_S + BONNET_S
    assert places["start-relay.86"] == FOOT_S + BONNET_S
    assert places["starter.M"] == STUD_S + BONNET_S
    splices = {s.id: s.point for s in two_batteries.harness.splices.values()}
    near = {"box": BONNET_S, "engine": BONNET_S, "rear": BONNET_S}
    assert splices
    for name, point in splices.items():
        assert places[name] == SPLICE_S + near.get(point, 0), (name, point)


def test_volts_are_asked_where_they_part_suspects_and_in_states_that_can_be_had(asking):
    lamp, fuse = of(asking, "load:front-lamp", "fuse:F2")
    found = asked(asking, [lamp, fuse], [NIGHT])
    fed = found["volts", "lamp-switch.1", NIGHT]
    assert fed.seconds == DRIVE_S + PLUG_S and fed.other == ""
    assert fed.low[0] > 20 and abs(fed.high[1]) < 0.5
    still = found["volts", "lamp-switch.1", "ready"]
    assert still.seconds == SET_S + PLUG_S
    assert ("volts", "upper.+", NIGHT) not in found, "the same with either"
    assert {state for _, _, state in found} <= {"off", "ready", NIGHT}


def test_a_like_fuse_tells_whether_it_was_the_fuse(asking):
    lamp, fuse = of(asking, "load:front-lamp", "fuse:F2")
    swap = asked(asking, [lamp, fuse], [NIGHT])["swap", "F2", NIGHT]
    assert (swap.low, swap.high, swap.other) == ([NO, YES], [NO, YES], "")
    assert swap.seconds == 30 + DRIVE_S
    at_rest = asked(asking, of(asking, "fuse:FT", "load:radio"), ["ready", NIGHT])
    assert at_rest["swap", "FT", "ready"].seconds == 30 + SET_S + BONNET_S
    assert ("swap", "FM", "ready") not in at_rest


def test_a_look_at_what_else_works_parts_those_that_upset_it(asking):
    lamp, fuse = of(asking, "load:front-lamp", "fuse:F2")
    effects = {
        lamp.id: (Effect("front-lamp", NIGHT, "dead", 0.0, 24.0),),
        fuse.id: tuple(Effect(x, NIGHT, "dead", 0.0, 24.0) for x in ("front-lamp", "rear-lamp")),
    }
    found = asked(asking, [lamp, fuse], [NIGHT], effects=lambda f: effects[f.id])
    look = found["look", "rear-lamp", NIGHT]
    assert (look.low, look.high) == ([YES, NO], [YES, NO])
    assert look.seconds == 5 + DRIVE_S
    assert ("look", "front-lamp", NIGHT) not in found, "dead with either"


def test_what_is_hot_is_felt_in_halves_of_a_zone(asking):
    joints = [
        Fault(f"resistive pin:{pin}", "pin", f"pin:{pin}", "", "resistive", 1.0)
        for pin in ("F1.out", "F2.out", "radio.1", "upper.+")
    ]
    rows = {f.id for f in asking.swept.faults}
    found = asked(asking, [j for j in joints if j.id in rows], ["ready"], feels=True)
    felt = {place: x for (what, place, _), x in found.items() if what == "feel"}
    assert felt["upper"].low == [NO, NO, NO, YES]
    assert felt["upper"].seconds == 20 + SET_S + BONNET_S
    assert felt["F1,F2,radio"].low == [YES, YES, YES, NO]
    assert felt["F1,F2,radio"].seconds == 20 + SET_S
    assert (felt["F1"].low, felt["F1"].other) == ([YES, NO, NO, NO], "")


def test_a_relay_is_heard_as_the_key_is_turned_where_its_coil_has_its_volts():
    """12 V at the coil in one of three cars; its contact stuck, nobody knows what is heard."""
    contact = SimpleNamespace(kind="relay", control=("r.86", "r.85"), control_v=7.0)
    relay = SimpleNamespace(
        id="r", kind="relay", contacts=(contact,), panel="", written=SimpleNamespace(part=None)
    )
    states = {"off": SimpleNamespace(engine=0.0), "on": SimpleNamespace(engine=0.0)}
    vehicle = SimpleNamespace(
        states=tuple(states),
        devices={"r": relay},
        description=SimpleNamespace(states=states),
        all_of=lambda kind: [relay] if kind == "relay" else [],
    )
    faults = [
        Fault("open wire:1", "wire", "wire:1", ""),
        Fault("open wire:2", "wire", "wire:2", ""),
        Fault("open load:r.coil", "load", "load:r.coil", ""),
        Fault("stuck contact:r.30-87", "contact", "contact:r.30-87", "", "stuck"),
    ]
    swept = SimpleNamespace(
        nodes=("r.86~", "r.85~"),
        reference="minus",
        healthy={"off": np.array([0.0, 0, 0]), "on": np.array([12.0, 0, 0])},
        faulted={
            "off": np.zeros((4, 3)),
            "on": np.array([[12.0, 0, 0], [6.9, 0, 0], [12.0, 0, 0], [12.0, 0, 0]]),
        },
    )
    made = Asking(vehicle, SimpleNamespace(), swept, {})
    made.__dict__.update(_state_seconds={"on": 5, "off": 5}, _reach_s=lambda _device: 40.0)
    none = {state: np.zeros(4, dtype=bool) for state in states}
    (click,) = made._clicks(faults, np.arange(4), ["off", "on"], none)
    assert (click.node, click.state, click.what, click.other) == ("r", "on", "click", "off")
    assert click.seconds == 10 + 5 + 40
    assert click.low.tolist() == [YES, NO, NO, NO]
    assert click.high.tolist() == [YES, NO, NO, YES]


def test_a_bus_is_measured_in_ohms_where_any_suspect_breaks_it():
    broken, other = Fault("a", "wire", "wire:1", ""), Fault("b", "wire", "wire:2", "")
    bus = SimpleNamespace(
        broken={"a": ()},
        of=lambda faults: np.array([[7.0 if f.id == "a" else 6.0, 6.0] for f in faults]),
        nodes=("ecu.1", "ecu.2"),
        others=("ecu.2", ""),
        what=("bus ohms", "ohms"),
        seconds=(60.0, 90.0),
    )
    vehicle = SimpleNamespace(states=("off", "on"))
    made = Asking(vehicle, SimpleNamespace(), SimpleNamespace(bus=bus), {})
    across, to_body = made._bus_ohms([other, broken])
    assert (across.node, across.other, across.what) == ("ecu.1", "ecu.2", "bus ohms")
    assert (to_body.node, to_body.other, to_body.what) == ("ecu.2", "", "ohms")
    assert (across.state, across.seconds, to_body.seconds) == ("off", 60.0, 90.0)
    assert across.low.tolist() == across.high.tolist() == [6.0, 7.0]
    assert made._bus_ohms([other]) == []


@pytest.mark.parametrize(("volts", "alive"), [((12.0, 12.0), False), ((12.0, 0.0), True)])
def test_a_short_to_where_the_volts_are_alike_changes_nothing(volts, alive):
    healthy = SimpleNamespace(volts=dict(zip(("a", "b"), volts, strict=True)))
    state = SimpleNamespace(healthy=healthy, ends_of=lambda _: ("a", "b"))
    assert _alive(state, Fault("s", "wire", "wire:1", "", "short")) is alive
    assert _alive(state, Fault("s", "swap", "swap:1", "", "swap"))


@pytest.mark.parametrize(
    ("kind", "caution", "stops"),
    [
        ("motor", "fuel", True),
        ("motor", None, False),
        ("injector", None, True),
        ("ignition coil", None, True),
        ("lamp", "fuel", False),
    ],
)
def test_an_engine_stops_without_its_fuel_its_sparks_or_its_pump(kind, caution, stops):
    load = SimpleNamespace(
        id="x",
        from_pin="x.1",
        to_pin="x.2",
        states={"run", "rest"},
        working_v=6.0,
        pulsed_by="",
        pulsed_back_by="",
    )
    device = SimpleNamespace(kind=kind, written=SimpleNamespace(caution=caution), loads=(load,))
    vehicle = SimpleNamespace(
        description=SimpleNamespace(
            states={"run": SimpleNamespace(engine=900.0), "rest": SimpleNamespace(engine=0.0)}
        ),
        devices={"x": device},
        losses=(),
    )

    def at(state, volts):
        return SimpleNamespace(state=state, closed=frozenset(), volts={"x.1~": volts, "x.2~": 0.0})

    assert _stops(vehicle, at("run", 12.0), at("run", 0.0)) is stops
    assert not _stops(vehicle, at("run", 12.0), at("run", 11.0))
    assert not _stops(vehicle, at("rest", 12.0), at("rest", 0.0))
