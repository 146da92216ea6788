"""What a run of rope and a point are exposed to, and where somebody wiggles for it."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from buildbook.faultfinding.faults import weight
from buildbook.faultfinding.intermittent import LOOSENS, along, reason_words, wiggles
from buildbook.faultfinding.model import Fault
from buildbook.words.say import in_language, unknown_words

ZONE = dict(moving=False, ambient=40.0, wet=False)
RUN = dict(zone="z", bend_m=None, grommet_m=None, from_heat_m=None, clamps=1, length_m=1.0)


@pytest.mark.parametrize(
    ("zone", "run", "why"),
    [
        ({}, {}, ()),
        ({"moving": True}, {}, ("moving",)),
        ({"ambient": 80.0}, {}, ("hot",)),
        ({"ambient": 79.9}, {}, ()),
        ({"wet": True}, {}, ("wet",)),
        ({}, {"bend_m": 0.099}, ("tight bend",)),
        ({}, {"bend_m": 0.1}, ()),
        ({}, {"grommet_m": 0.02}, ("through a hole",)),
        ({}, {"from_heat_m": 0.149}, ("near hot parts",)),
        ({}, {"from_heat_m": 0.15}, ()),
        ({}, {"clamps": 0, "length_m": 0.3}, ("no clamp",)),
        ({}, {"clamps": 0, "length_m": 0.29}, ()),
        ({"moving": True, "wet": True}, {"clamps": 0}, ("moving", "wet", "no clamp")),
    ],
)
def test_what_a_run_of_rope_is_exposed_to(zone, run, why):
    zones = {"z": SimpleNamespace(**ZONE | zone)}
    vehicle = SimpleNamespace(description=SimpleNamespace(zones=zones))
    assert along(vehicle, SimpleNamespace(**RUN | run)) == why


def test_every_reason_has_its_words():
    """English stands as it is written; German is looked up by the context."""
    assert {why: reason_words(why) for why in LOOSENS} == {why: why for why in LOOSENS}
    with in_language("de"), unknown_words() as unknown:
        german = [reason_words(why) for why in LOOSENS]
    assert not unknown
    assert len(set(german)) == len(LOOSENS)


def fault(branch, mode="open"):
    return Fault(f"{mode} {branch}", branch.partition(":")[0], branch, "", mode=mode)


def spots(result, *branches, zones=None):
    vehicle = result.vehicle
    if zones:
        known = vehicle.description.zones
        changed = {name: zone.model_copy(update=zones) for name, zone in known.items()}
        vehicle = replace(
            vehicle, description=vehicle.description.model_copy(update={"zones": changed})
        )
    return {w.where: w for w in wiggles(vehicle, result.harness, [fault(b) for b in branches])}


def test_a_lamp_on_its_plug_in_the_wet_is_wiggled_there(two_wire):
    """The trailer's frame is wet; the lamp's plug is sealed, the battery's post a nut."""
    found = spots(two_wire, "pin:lamp.1", "pin:lamp.2", "pin:battery.+", "fuse:F1", "ground:G1")
    plug = found["plug of lamp"]
    assert (plug.kind, plug.point, plug.why) == ("plug", "tail", ("wet",))
    assert plug.faults == ("open pin:lamp.1", "open pin:lamp.2")
    likely = weight(fault("pin:lamp.1"))
    assert plug.score == pytest.approx(likely * 1.5)
    assert found["nut at battery.+"].why == ("wet",), "a stud has no seal and wants none"
    assert (found["fuse F1 in its seat"].kind, found["fuse F1 in its seat"].point) == (
        "fuse",
        "battery-box",
    )
    assert found["ring and bolt of G1"].kind == "ground"


def test_a_plug_without_seals_in_the_wet_comes_before_one_with(two_wire):
    bare = replace(
        two_wire,
        vehicle=replace(
            two_wire.vehicle,
            devices={
                name: replace(
                    device,
                    connectors=tuple(
                        replace(c, plug=c.plug.model_copy(update={"sealed": False}))
                        for c in device.connectors
                    ),
                )
                for name, device in two_wire.vehicle.devices.items()
            },
        ),
    )
    plug = spots(bare, "pin:lamp.1")["plug of lamp"]
    assert plug.why == ("wet, not sealed",)
    assert plug.score == pytest.approx(weight(fault("pin:lamp.1")) * 4.0)


def test_heat_and_movement_loosen_a_joint_too(two_wire):
    """Twice as often again in the heat, four times again where it moves: 1 + 4 + 2."""
    rough = {"moving": True, "ambient": 95.0, "wet": False}
    plug = spots(two_wire, "pin:lamp.1", zones=rough)["plug of lamp"]
    assert plug.why == ("moving", "hot")
    assert plug.score == pytest.approx(weight(fault("pin:lamp.1")) * 7.0)


def test_a_wire_is_wiggled_along_its_rope_and_a_lamp_tapped(two_wire):
    between = next(w for w in two_wire.harness.wires.values() if w.runs)
    found = spots(two_wire, f"wire:{between.id}", "load:lamp")
    (run,) = (spot for spot in found.values() if spot.kind == "run")
    assert run.where == "rope battery-box to tail"
    assert (run.point, run.why) == ("", ("wet",))
    assert found["lamp itself, tapped"].kind == "device"


def test_a_relay_is_wiggled_in_its_foot_and_tapped(two_batteries):
    found = spots(two_batteries, "pin:start-relay.85", "contact:start-relay.30-87")
    assert found["relay start-relay in its foot"].kind == "plug"
    assert found["start-relay itself, tapped"].kind == "relay"


def test_what_never_comes_and_goes_is_not_wiggled_for(two_wire):
    stuck = Fault("stuck load:lamp", "load", "load:lamp", "", mode="stuck")
    assert wiggles(two_wire.vehicle, two_wire.harness, [stuck]) == ()


def test_the_likeliest_place_stands_first(two_wire):
    branches = ["pin:lamp.1", "load:lamp", "fuse:F1", "ground:G1"]
    scores = [
        spot.score
        for spot in wiggles(two_wire.vehicle, two_wire.harness, [fault(b) for b in branches])
    ]
    assert len(scores) == 4
    assert scores == sorted(scores, reverse=True)
