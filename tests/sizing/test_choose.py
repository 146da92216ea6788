"""Whole vehicles sized, and sized again with something changed."""

from dataclasses import replace
from pathlib import Path

import pytest

from buildbook.description.quantities import parse_size
from buildbook.description.read import read_folder
from buildbook.harness.build import build_harness
from buildbook.harness.model import Addend
from buildbook.sizing.choose import MOST_ROUNDS, choose
from buildbook.sizing.ohms import wire_ohms
from buildbook.vehicle.join import join

VEHICLES = Path(__file__).parents[1] / "vehicles"
LAPWING = VEHICLES.parents[1] / "example_vehicle"


def built(folder):
    reading, problems = read_folder(folder)
    assert not problems
    vehicle, problems = join(reading)
    assert not problems
    harness, problems = build_harness(vehicle)
    assert not problems
    return vehicle, harness


@pytest.fixture(scope="module")
def motorcycle():
    return built(VEHICLES / "motorcycle")


@pytest.fixture(scope="module")
def sized(motorcycle):
    return choose(*motorcycle)


@pytest.fixture(scope="module")
def lapwing():
    vehicle, harness = built(LAPWING)
    return vehicle, harness, *choose(vehicle, harness)


def with_loads(vehicle, factor):
    devices = {
        name: replace(
            d, loads=tuple(replace(x, ohms=x.ohms / factor) for x in d.loads)
        ) if d.kind == "lamp" else d
        for name, d in vehicle.devices.items()
    }  # fmt: skip
    return replace(vehicle, devices=devices)


def test_sizes_come_to_rest(sized, lapwing):
    assert sized[0].rounds < MOST_ROUNDS
    assert lapwing[2].rounds < MOST_ROUNDS


def test_every_wire_and_fuse_has_a_size_and_a_reason(lapwing):
    vehicle, harness, sizing, _solved = lapwing
    assert sizing.wires.keys() == harness.wires.keys()
    assert sizing.fuses.keys() == {d.id for d in vehicle.all_of("fuse")}
    for wire in sizing.wires.values():
        assert wire.governing in {"heat", "drop", "fuse", "terminal", "author", "smallest"}
        assert wire.governing == "author" or wire.limits


def test_no_unpinned_wire_runs_hotter_than_its_insulation(lapwing):
    vehicle, _harness, sizing, _solved = lapwing
    hot = {
        w.wire: w.conductor_c
        for w in sizing.wires.values()
        if not w.pinned and w.conductor_c > vehicle.wire_families[w.family].rated_c + 0.5
    }
    assert not hot


def test_no_fuse_outgrows_an_unpinned_wire_behind_it(lapwing):
    _vehicle, _harness, sizing, _solved = lapwing
    weak = [
        (w.wire, row)
        for w in sizing.wires.values()
        for row in w.limits
        if row.name == "fuse" and not w.pinned and not row.met
    ]
    assert not weak


@pytest.mark.parametrize(
    ("circuit", "fuse"),
    [
        ("pump ground", "F4"),
        ("coil ground", "F24"),
        ("left fan ground", "F5"),
        ("side lamps", "F15"),
        ("left indicators", "F10"),
        ("alternator ground", ""),
        ("battery ground", ""),
    ],
)
def test_returns_and_feeds_that_leak_backwards_when_off_keep_their_fuse(lapwing, circuit, fuse):
    # what flows backwards through a lamp that is off, from one ground to another, is no feed
    _vehicle, harness, sizing, _solved = lapwing
    wires = [w.id for w in harness.wires.values() if w.circuit == circuit]
    assert wires and {sizing.wires[w].fuse for w in wires} == {fuse}


def test_unpinned_fuses_carry_their_load_with_a_quarter_in_hand(lapwing):
    for fuse in lapwing[2].fuses.values():
        if not fuse.pinned:
            assert fuse.load_a <= 0.75 * fuse.rating_a + 1e-9


def test_alternator_fuse_and_cable_carry_its_whole_output(lapwing):
    # a flat battery takes all that the curve gives at its end: 95 A, a quarter in hand
    _vehicle, harness, sizing, _solved = lapwing
    fuse = sizing.fuses["MF1"]
    assert fuse.load_a >= 95 and fuse.rating_a >= 95 / 0.75
    (cable,) = (w.id for w in harness.wires.values() if w.circuit == "alternator output")
    assert sizing.wires[cable].current_a >= 95


def test_starter_cable_is_thick_and_unfused(lapwing):
    vehicle, harness, sizing, solved = lapwing
    (starter,) = vehicle.all_of("starter")
    solution = solved.meter["cranking"]
    amps = max(abs(solution.current_a[f"load:{x.id}"]) for x in starter.loads
               if f"load:{x.id}" in solution.current_a)  # fmt: skip
    cables = [w for w in sizing.wires.values() if w.drop_v and w.current_a > 0.8 * amps]
    assert cables
    assert all(w.area_mm2 >= 16 and w.fuse == "" for w in cables)


def test_lamps_shine_and_the_engine_charges(sized, motorcycle):
    vehicle, _harness = motorcycle
    riding = sized[1].meter["riding"]
    assert 0 < riding.charging_a < 5
    lit = [
        riding.across(f"{load.from_pin}~", f"{load.to_pin}~")
        for lamp in vehicle.all_of("lamp")
        for load in lamp.loads
        if riding.current_a.get(f"load:{load.id}", 0.0) > 0.1
    ]
    assert len(lit) >= 2
    assert all(12.5 < across < 14.5 for across in lit)


def test_relay_contacts_close_when_their_coils_are_fed(lapwing):
    vehicle, _harness, _sizing, solved = lapwing
    night = solved.meter["full load at night"]
    for relay in vehicle.all_of("relay"):
        for contact in relay.contacts:
            if contact.control and night.state in contact.states:
                plus, minus = (f"{pin}~" for pin in contact.control)
                pulled = abs(night.across(plus, minus)) >= contact.control_v
                assert (contact.id in night.closed) == (pulled != contact.inverted)


def test_heavier_lamps_never_thin_their_wires_or_fuses(motorcycle, sized):
    vehicle, harness = motorcycle
    heavy, _ = choose(with_loads(vehicle, 2.0), harness)
    light = sized[0]
    assert all(heavy.fuses[f].rating_a >= x.rating_a for f, x in light.fuses.items())
    assert sum(w.area_mm2 for w in heavy.wires.values()) > sum(
        w.area_mm2 for w in light.wires.values()
    )
    lamps = [w for w, x in light.wires.items() if heavy.wires[w].current_a > 1.5 * x.current_a]
    assert lamps
    assert all(heavy.wires[w].area_mm2 >= light.wires[w].area_mm2 for w in lamps)


def test_longer_wires_are_never_thinner_in_all(motorcycle, sized):
    vehicle, harness = motorcycle
    wires = {
        i: replace(w, addends=(*w.addends, Addend("longer", 2 * w.cut_m)))
        for i, w in harness.wires.items()
    }
    long, _ = choose(vehicle, replace(harness, wires=wires))
    assert sum(w.area_mm2 for w in long.wires.values()) > sum(
        w.area_mm2 for w in sized[0].wires.values()
    )


def test_authors_size_is_kept_and_judged(motorcycle, sized):
    vehicle, harness = motorcycle
    wire = max(
        (w for w in sized[0].wires.values() if w.fuse and not w.pinned),
        key=lambda w: w.current_a,
    )
    name = harness.wires[wire.wire].circuit
    circuit = vehicle.circuits[name]
    written = circuit.written.model_copy(update={"size": parse_size("0.22 mm2")})
    pinned = {**vehicle.circuits, name: replace(circuit, written=written)}
    found = choose(replace(vehicle, circuits=pinned), harness)[0].wires[wire.wire]
    assert (found.label, found.governing, found.pinned) == ("0.22 mm2", "author", True)
    assert any(row.name == "heat" and not row.met for row in found.limits)
    assert any(row.name == "author" and not row.met for row in found.limits)


def test_resistances_are_those_the_solutions_used(lapwing):
    vehicle, harness, sizing, solved = lapwing
    ohms = wire_ohms(vehicle, harness, sizing)
    branches = solved.meter["idle"].branches
    found = {w: branches[f"wire:{w}"].ohms for w in ohms}
    assert found == pytest.approx(ohms, rel=0.01)


def test_the_same_vehicle_gives_the_same_sizes(motorcycle, sized):
    assert choose(*motorcycle)[0] == sized[0]


def test_hotter_zones_never_thin_the_wires_and_too_hot_is_said(motorcycle, sized):
    vehicle, harness = motorcycle

    def heated(by_c):
        zones = {
            name: zone.model_copy(update={"ambient": zone.ambient + by_c})
            for name, zone in vehicle.description.zones.items()
        }
        description = vehicle.description.model_copy(update={"zones": zones})
        return choose(replace(vehicle, description=description), harness)[0]

    warmer = heated(4.0)
    assert sum(w.area_mm2 for w in warmer.wires.values()) >= sum(
        w.area_mm2 for w in sized[0].wires.values()
    )
    for wire in heated(100.0).wires.values():
        (heat,) = (row for row in wire.limits if row.name == "heat")
        assert not heat.met
        assert heat.unit == "degC"
