"""Clamps, slack, seals, splices, connectors, names, charge in store, prices and notes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    battery_flat_soon,
    colours_alike,
    halves_alike,
    length_estimated,
    live_pins,
    moving_no_slack,
    names_alike,
    note_unknown_device,
    pass_through_full,
    price_zero,
    rope_bare,
    seal_misfit,
    service_loop_none,
    splice_mixed,
    support_far,
    way_unused,
)
from buildbook.electrical.model import Balance, SupplyReport
from buildbook.harness.model import Addend, Bundle, PassPin, Splice
from buildbook.vehicle.model import Bond, Contact, PassThrough
from tests.checks import minimal as m
from tests.checks.bench import about
from tests.checks.rules.test_completeness import BATTERY, LAMP


def roped(run, *wires, **sections):
    bundle = Bundle(run.id, tuple(w.id for w in wires) or ("101",))
    return m.assessed(m.vehicle(runs=(run,), **sections), m.harness(wires, bundles=(bundle,)))


@pytest.mark.parametrize(
    ("length", "clamps", "fires"), [(0.76, 1, ["r"]), (0.75, 1, []), (0.3, 0, []), (0.4, 0, ["r"])]
)
def test_rope_is_held_about_every_300_mm(length, clamps, fires):
    assert about(support_far, roped(m.run("r", "A", "B", length, clamps=clamps))) == fires


@pytest.mark.parametrize(
    ("length", "clamps", "said", "needed"),
    [
        (0.6, 0, "600 mm long and has no clamps", "Fit 1 clamp ("),
        (0.9, 1, "900 mm long and has 1 clamp:", "Fit 2 clamps ("),
        (720.0, 1, "720 m long and has 1 clamp: 360 m hang free", "Fit 2399 clamps ("),
    ],
)
def test_clamps_are_counted_and_long_rope_is_said_in_metres(length, clamps, said, needed):
    (found,) = support_far.check(roped(m.run("r", "A", "B", length, clamps=clamps)))
    assert said in found.text and found.remedy.startswith(needed)


def moving(extra: tuple[Addend, ...], runs=("r", "still")):
    zones = {"cabin": {"ambient": "40 degC"}, "door": {"ambient": "40 degC", "moving": True}}
    ends = m.end("a.1"), m.end("b.1")
    wire = m.wire("101", "feed", *ends, runs=runs)
    wire = replace(wire, addends=(*wire.addends, *extra))
    vehicle = m.vehicle(
        runs=(m.run("r", "A", "B", zone="door"), m.run("still", "B", "C")), zones=zones
    )
    return m.assessed(vehicle, m.harness((wire,), bundles=(Bundle("r", ("101",)),)))


def test_wire_onto_moving_rope_needs_slack():
    assert about(moving_no_slack, moving(())) == ["r"]
    assert about(moving_no_slack, moving((Addend("slack", 0.05, "moving"),))) == []


def test_wire_that_only_moves_along_needs_none():
    assert about(moving_no_slack, moving((), runs=("r",))) == []


def test_rope_without_wires_is_neither_held_nor_measured_anew():
    run = replace(m.run("r", "A", "B", 2.0), estimated=True)
    bare = m.assessed(m.vehicle(runs=(run,)), m.harness(bundles=(Bundle("r", ()),)))
    assert about(support_far, bare) == about(length_estimated, bare) == []


def test_wires_that_no_rope_measures_are_told_once_a_harness():
    near = tuple(
        replace(wire, addends=(Addend("estimate, at one place", 0.3, "short"),))
        for wire in (
            m.wire("101", "feed", m.end("a.1"), m.end("b.1")),
            m.wire("102", "feed", m.end("a.2"), m.end("b.2")),
        )
    )
    roped = m.wire("103", "feed", m.end("a.3"), m.end("b.3"))
    vehicle = m.vehicle(runs=(m.run("r", "A", "B"),))
    (told,) = length_estimated.check(m.assessed(vehicle, m.harness((*near, roped))))
    assert told.about == "h"
    assert "2 wires of harness h" in told.text
    assert "(101, 102)" in told.text
    assert "300 mm" in told.text


def with_way(told, runs=()):
    """A feed from a to b, along some rope, of whose circuit something is told."""
    devices = m.device("a", "lamp", "1", "pin-1.5"), m.device("b", "lamp", "1", "pin-1.5")
    vehicle = m.vehicle(
        devices,
        {"feed": ("a.1", "b.1")},
        (m.run("r", "A", "B"),),
        told={"feed": {"written": told}},
    )
    wire = m.wire("101", "feed", m.end("a.1"), m.end("b.1"), runs=runs)
    return m.assessed(vehicle, m.harness((wire,)))


@pytest.mark.parametrize("told", [{"way": "420 mm"}, {"wires": {"a.1": {"way": "420 mm"}}}])
def test_a_way_that_rope_measures_is_told(told):
    assert about(way_unused, with_way(told)) == []
    assert about(way_unused, with_way(told, runs=("r",))) == ["feed"]


def test_estimated_length_is_told():
    run = m.run("r", "A", "B")
    assert about(length_estimated, roped(run)) == []
    assert about(length_estimated, roped(replace(run, estimated=True))) == ["r"]


@pytest.mark.parametrize(
    ("sealed", "label", "fires"),
    # ISO 6722-1 thin wall: 4 mm2 is up to 3.4 mm thick (from memory), more than the seal takes.
    [(True, "4 mm2", ["lamp.1"]), (False, "4 mm2", []), (True, "1 mm2", [])],
)
def test_wire_too_thick_for_the_seal_of_a_1_5_mm_contact(sealed, label, fires):
    plug = m.connector("lamp", sealed=sealed)
    end = m.end("lamp.1", connector="lamp", contact="pin-1.5")
    wire = m.wire("101", "feed", end, m.end("battery.+"))
    vehicle = m.vehicle((BATTERY, LAMP), {"feed": ("lamp.1", "battery.+")})
    harness = m.harness((wire,), connectors=(plug,))
    assert (
        about(seal_misfit, m.assessed(vehicle, harness, sizing_=m.sizing(m.sized("101", label))))
        == fires
    )


@pytest.mark.parametrize(
    ("thin", "thick", "fires"),
    [(0.35, 4.0, ["S1"]), (0.5, 4.0, []), (120.0, 120.0, ["S1"])],
)
def test_splice_of_thin_and_thick_wire(thin, thick, fires):
    vehicle = m.vehicle((BATTERY, LAMP), {"feed": ("lamp.1", "battery.+")})
    splice = Splice("S1", "feed", "h", "P", 0.0, ("101a", "101b"))
    sizing = m.sizing(
        m.sized("101a", f"{thin:g} mm2", area_mm2=thin),
        m.sized("101b", f"{thick:g} mm2", area_mm2=thick),
    )
    assessed = m.assessed(vehicle, m.harness(splices=(splice,)), sizing_=sizing)
    assert about(splice_mixed, assessed) == fires


def through(free: int, sockets: str = "cabin"):
    """A pass-through with nine contacts in use, one of them fed from the cabin's side."""
    made = PassThrough("X1", "P", ("cabin", "engine"), "ten", m.plug(), {}, False, m.HERE, sockets)
    vehicle = m.vehicle(
        (BATTERY, LAMP, m.device("X1", "pass-through", "")), {"feed": ("battery.+", "lamp.1")}
    )
    wires = (
        m.wire("101a", "feed", m.end("battery.+"), m.end("X1.1/cabin", "half")),
        m.wire("101b", "feed", m.end("X1.1/engine", "half"), m.end("lamp.1")),
    )
    halves = tuple(
        replace(
            m.connector(f"X1/{home}", device="X1", harness=home),
            gender="socket" if home == sockets else "pin",
            pins=(replace(m.pin("X1", "1"), id=f"X1.1/{home}"),),
        )
        for home in ("cabin", "engine")
    )
    pairs = tuple(
        PassPin("X1", str(n), "feed", {"cabin": f"{n}a", "engine": f"{n}b"}) for n in range(1, 10)
    )
    harness = replace(
        m.harness(wires, connectors=halves, pass_pins=pairs), spares={"X1": {"pin-1.5": free}}
    )
    return m.assessed(replace(vehicle, pass_throughs=(made,)), harness)


def test_pass_through_with_a_tenth_free_is_silent_and_a_full_one_is_noted():
    assert about(pass_through_full, through(1)) == []
    assert about(pass_through_full, through(0)) == ["X1"]


def test_half_that_stays_live_has_sockets():
    assert about(live_pins, through(1, "cabin")) == []
    assert about(live_pins, through(1, "engine")) == ["X1"]


def test_a_load_grounded_beyond_a_pass_through_bares_no_live_pin():
    """A wiper's park joins the feed to the body where run and rest are taken for closed at once."""
    states = frozenset({"on"})
    park = m.device(
        "park",
        "switch",
        "53 53a 31",
        contacts=(
            Contact("park.run", "park", "park.53a", "park.53", states, kind="switch"),
            Contact("park.rest", "park", "park.53", "park.31", states, kind="switch"),
        ),
    )
    stud = m.device(
        "G1",
        "ground",
        "stud",
        bonds=(Bond("ground:G1", "G1", "G1.stud", "chassis", 0.001, "ground"),),
    )
    joined = through(1, "cabin")
    wires = (
        m.wire("201", "park feed", m.end("battery.+"), m.end("park.53a")),
        m.wire("202", "park ground", m.end("park.31"), m.end("G1.stud")),
        m.wire("203a", "lamp ground", m.end("lamp.2"), m.end("X1.1/cabin", "half")),
        m.wire("203b", "lamp ground", m.end("X1.1/engine", "half"), m.end("G1.stud")),
    )
    others = {d.id: d for d in (park, stud)}
    pins = {pin.id: pin for d in (park, stud) for pin in d.pins}
    vehicle = replace(
        joined.vehicle,
        devices={**joined.vehicle.devices, **others},
        pins={**joined.vehicle.pins, **pins},
    )
    harness = replace(joined.harness, wires={wire.id: wire for wire in wires})
    assert about(live_pins, replace(joined, vehicle=vehicle, harness=harness)) == []


@pytest.mark.parametrize(
    ("kind", "title", "fires"),
    [
        ("lamp", "Work lamp", ["b"]),
        ("lamp", "work-lamp", ["b"]),
        ("lamp", "Lamp 2", []),
        ("fuse", "Work lamp", []),
    ],
)
def test_two_devices_of_one_kind_with_one_name(kind, title, fires):
    one = replace(m.device("a", "lamp", "1"), title="Work lamp")
    two = replace(m.device("b", kind, "1"), title=title)
    assert about(names_alike, m.assessed(m.vehicle((one, two)))) == fires


@pytest.mark.parametrize(
    ("colour", "circuit", "fires"), [("RD", "b", ["lamp"]), ("BU", "b", []), ("RD", "a", [])]
)
def test_two_wires_of_one_colour_in_a_small_plug(colour, circuit, fires):
    plug = m.connector("lamp", pins=(m.pin("lamp", "1"), m.pin("lamp", "2")))
    wires = (
        m.wire("101", "a", m.end("lamp.1", connector="lamp"), m.end("x.1"), colour="RD"),
        m.wire("102", circuit, m.end("lamp.2", connector="lamp"), m.end("y.1"), colour=colour),
    )
    assert (
        about(colours_alike, m.assessed(m.vehicle(), m.harness(wires, connectors=(plug,)))) == fires
    )


def stored(state: str, hours: float):
    balance = Balance(state, 0, 2.0, 0.0, 0.0, -2.0, 12.5, last_start_h=hours)
    states = {"off": {}, "on": {"share": "10 %"}, "cranking": {}}
    vehicle = m.vehicle((BATTERY,), states=states)
    return replace(m.assessed(vehicle), supply=SupplyReport((balance,)))


@pytest.mark.parametrize(
    ("state", "hours", "fires"),
    [("off", 335, ["off"]), ("off", 337, []), ("on", 0.4, ["on"]), ("on", 0.6, [])],
)
def test_battery_lasts_two_weeks_parked_and_half_an_hour_on(state, hours, fires):
    assert about(battery_flat_soon, stored(state, hours)) == fires


@pytest.mark.parametrize(("price", "fires"), [("0", ["P1"]), ("0.00", ["P1"]), ("0.10", [])])
def test_price_of_nothing(price, fires):
    parts = {"P1": {"what": "Lamp", "price": price}}
    assert about(price_zero, m.assessed(m.vehicle(parts=parts))) == fires


@pytest.mark.parametrize(
    ("text", "fires"), [("Pull F2 first.", ["F2"]), ("Pull F1. See A4 paper.", [])]
)
def test_note_that_names_a_fuse_that_is_not_there(text, fires):
    vehicle = replace(m.vehicle((m.fuse("F1"),)), notes={"system main": text})
    assert about(note_unknown_device, m.assessed(vehicle)) == fires


def test_rope_that_no_wire_follows():
    wire = m.wire("101", "feed", m.end("a.1"), m.end("b.1"), runs=("r",))
    vehicle = m.vehicle(runs=(m.run("r", "A", "B"), m.run("bare", "B", "C")))
    harness = m.harness((wire,), bundles=(Bundle("r", ("101",)), Bundle("bare", ())))
    assert about(rope_bare, m.assessed(vehicle, harness)) == ["bare"]
    both = m.harness((wire,), bundles=(Bundle("r", ("101",)), Bundle("bare", ("101",))))
    assert about(rope_bare, m.assessed(vehicle, both)) == []


@pytest.mark.parametrize(
    ("loop", "own", "fires"),
    [
        ("20 mm", None, []),
        ("0 mm", None, ["vehicle"]),
        ("20 mm", "5 mm", ["dash"]),
        ("20 mm", "200 mm", []),
    ],
)
def test_terminals_have_a_service_loop(loop, own, fires):
    plug = m.connector("dash")
    dash = m.device(
        "dash", "display", "1", connectors=(plug,), written={"service loop": own} if own else {}
    )
    about_it = {"name": "Bench", "date": "2026-03-01", "lengths": {"service loop": loop}}
    wire = m.wire("101", "feed", m.end("dash.1"), m.end("b.1"))
    vehicle = m.vehicle((dash,), vehicle=about_it)
    assert about(service_loop_none, m.assessed(vehicle, m.harness((wire,)))) == fires


@pytest.mark.parametrize(
    ("serves", "more", "on_vehicle", "fires"),
    [
        (["housing ten", "housing ten mate"], [], False, ["socket"]),
        (["housing ten"], ["housing ten mate"], False, []),
        (["terminal pin-1.5", "terminal pin-1.5 mate"], [], False, ["socket"]),
        (["terminal pin-1.5"], [], False, ["socket"]),
        (["terminal pin-1.5"], ["terminal pin-1.5 mate 0.5 mm2"], False, []),
        (["terminal pin-1.5"], [], True, []),
    ],
)
def test_two_halves_bought_with_one_gender(serves, more, on_vehicle, fires):
    made = PassThrough("X1", "P", ("cabin", "engine"), "ten", m.plug(), {}, on_vehicle, m.HERE)
    parts = {"socket": {"what": "Socket", "serves": serves}, "pin": {"what": "Pin", "serves": more}}
    assessed = m.assessed(replace(m.vehicle(parts=parts), pass_throughs=(made,)))
    assert about(halves_alike, assessed) == fires
