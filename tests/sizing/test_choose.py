"""Whole vehicles sized, and sized again with something changed or in another order."""

import random
from dataclasses import replace
from pathlib import Path

import pytest
import yaml
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from buildbook.description.quantities import parse_size
from buildbook.harness.model import Addend
from buildbook.sizing.choose import MOST_ROUNDS, choose
from tests.conftest import in_full
from tests.sizing.small import built, sized, trailer, written

VEHICLES = Path(__file__).parents[1] / "vehicles"


@pytest.fixture(scope="module")
def motorcycle():
    return built(VEHICLES / "motorcycle")


@pytest.fixture(scope="module")
def bike(motorcycle):
    return choose(*motorcycle)


def with_loads(vehicle, factor):
    devices = {
        name: replace(d, loads=tuple(replace(x, ohms=x.ohms / factor) for x in d.loads))
        if d.kind == "lamp"
        else d
        for name, d in vehicle.devices.items()
    }
    return replace(vehicle, devices=devices)


def test_sizes_come_to_rest(bike):
    assert bike[0].rounds < MOST_ROUNDS


def test_lamps_shine_and_the_engine_charges(bike, motorcycle):
    vehicle, _harness = motorcycle
    riding = bike[1].meter["riding"]
    assert 0 < riding.charging_a < 5
    lit = [
        riding.across(f"{load.from_pin}~", f"{load.to_pin}~")
        for lamp in vehicle.all_of("lamp")
        for load in lamp.loads
        if riding.current_a.get(f"load:{load.id}", 0.0) > 0.1
    ]
    assert len(lit) >= 2
    assert all(12.5 < across < 14.5 for across in lit)


def test_heavier_lamps_never_thin_their_wires_or_fuses(motorcycle, bike):
    vehicle, harness = motorcycle
    heavy, _ = choose(with_loads(vehicle, 2.0), harness)
    light = bike[0]
    assert all(heavy.fuses[f].rating_a >= x.rating_a for f, x in light.fuses.items())
    lamps = [w for w, x in light.wires.items() if heavy.wires[w].current_a > 1.5 * x.current_a]
    thinner = [w for w in lamps if heavy.wires[w].area_mm2 < light.wires[w].area_mm2]
    assert set(lamps) > set(thinner)
    # contacts that lose twice the volts leave some ways too little: no copper is spent on those
    assert all(not row.met for w in thinner for row in heavy.wires[w].limits if row.name == "drop")


def test_longer_wires_are_never_thinner_in_all(motorcycle, bike):
    vehicle, harness = motorcycle
    wires = {
        i: replace(w, addends=(*w.addends, Addend("longer", 2 * w.cut_m)))
        for i, w in harness.wires.items()
    }
    long, _ = choose(vehicle, replace(harness, wires=wires))
    assert sum(w.area_mm2 for w in long.wires.values()) > sum(
        w.area_mm2 for w in bike[0].wires.values()
    )


def test_authors_size_is_kept_and_judged(motorcycle, bike):
    vehicle, harness = motorcycle
    wire = max(
        (w for w in bike[0].wires.values() if w.fuse and not w.pinned),
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


def test_the_same_vehicle_gives_the_same_sizes(motorcycle, bike):
    assert choose(*motorcycle)[0] == bike[0]


def test_hotter_zones_never_thin_the_wires_and_too_hot_is_said(motorcycle, bike):
    vehicle, harness = motorcycle

    def heated(by_c):
        zones = {
            name: zone.model_copy(update={"ambient": zone.ambient + by_c})
            for name, zone in vehicle.description.zones.items()
        }
        description = vehicle.description.model_copy(update={"zones": zones})
        return choose(replace(vehicle, description=description), harness)[0]

    warmer = heated(4.0)
    if lost(warmer) == lost(bike[0]):
        assert copper(warmer) >= NEAR * copper(bike[0])
    for wire in heated(100.0).wires.values():
        (heat,) = (row for row in wire.limits if row.name == "heat")
        assert not heat.met
        assert heat.unit == "degC"


PLAIN = (Phase.explicit, Phase.generate)
"""No shrinking: it would size hundreds of vehicles."""
AMPS, LENGTHS, AIR = st.floats(0.5, 15), st.floats(0.3, 9), st.floats(20, 70)
LAMP = ("lamp feed", "lamp return")


NEAR = 0.99
"""Of two sets of sizes that no exchange betters one may be this much cheaper."""


def copper(sizing):
    """Copper of all wires, mm2 m."""
    return sum(w.area_mm2 * w.working.length_m for w in sizing.wires.values())


def lost(sizing):
    """Ways that lose more than they may."""
    return {(w.load, w.state) for w in sizing.path_drops if w.lost_v > w.allowed_v + 1e-9}


def thinned(before, after):
    """Circuits of the lamp whose wire became thinner, to no purpose.

    On a way that is kept, feed and return may change places: what is asked is that both together
    do not get cheaper. What no size keeps any more is not paid for.
    """
    (sizing, wires), (then, wires_then) = before, after
    if lost(then) != lost(sizing):
        return []
    if not lost(then):
        return [then] if copper(then) < NEAR * copper(sizing) else []
    return [c for c in LAMP if wires_then[c].area_mm2 < wires[c].area_mm2]


@given(AMPS, LENGTHS, AIR, st.floats(1.05, 2))
@settings(max_examples=15, deadline=None, derandomize=True, phases=PLAIN)
def test_more_current_is_never_a_thinner_wire_or_a_smaller_fuse(amps, length, air, more):
    told = {"length_m": length, "ambient_c": air}
    before, after = sized(amps=amps, **told), sized(amps=amps * more, **told)
    assert not thinned(before, after)
    assert after[0].fuses["F1"].rating_a >= before[0].fuses["F1"].rating_a


@given(AMPS, LENGTHS, AIR, st.floats(1.05, 2))
@settings(max_examples=12, deadline=None, derandomize=True, phases=PLAIN)
def test_more_length_is_never_a_thinner_wire(amps, length, air, more):
    told = {"amps": amps, "ambient_c": air}
    before = sized(length_m=length, **told)
    assert not thinned(before, sized(length_m=length * more, **told))


@given(AMPS, LENGTHS, AIR, st.floats(1, 20))
@settings(max_examples=12, deadline=None, derandomize=True, phases=PLAIN)
def test_hotter_air_is_never_a_thinner_wire(amps, length, air, hotter):
    told = {"amps": amps, "length_m": length}
    before = sized(ambient_c=air, **told)
    assert not thinned(before, sized(ambient_c=air + hotter, **told))


@given(AMPS, LENGTHS, AIR, st.integers(1, 12))
@settings(max_examples=8, deadline=None, derandomize=True, phases=PLAIN)
def test_more_wires_in_the_bundle_are_never_a_thinner_wire(amps, length, air, others):
    told = {"amps": amps, "length_m": length, "ambient_c": air}
    assert not thinned(sized(**told), sized(others=others, **told))


@given(AMPS, LENGTHS, AIR, st.integers(0, 6))
@settings(max_examples=15, deadline=None, derandomize=True, phases=PLAIN)
def test_a_chosen_fuse_is_never_above_what_its_wires_stand(amps, length, air, others):
    sizing, _ = sized(amps=amps, length_m=length, ambient_c=air, others=others)
    assert sizing.rounds < MOST_ROUNDS
    assert all(f.rating_a <= f.weakest_a for f in sizing.fuses.values())
    for wire in sizing.wires.values():
        assert all(row.met for row in wire.limits if row.name in ("heat", "fuse", "short"))


def shuffled(node, dice):
    """The same description with the keys of every section, and its runs, in another order."""
    if isinstance(node, dict):
        names = list(node)
        dice.shuffle(names)
        return {name: shuffled(node[name], dice) for name in names}
    return node


def chosen(vehicle, harness):
    """Size of every wire by circuit and terminals, and rating of every fuse: no numbers."""
    sizing, _ = choose(vehicle, harness)
    wires = sorted(
        (
            w.circuit,
            *sorted(e.node if e.kind != "splice" else "splice" for e in (w.a, w.b)),
            sizing.wires[w.id].label,
        )
        for w in harness.wires.values()
    )
    return wires, {f.fuse: f.rating_a for f in sizing.fuses.values()}


def as_data(folder):
    """The files of a folder as one description, every value as it is written."""
    told = {}
    for file in sorted(folder.glob("*.yaml")):
        for section, content in yaml.load(file.read_text("utf-8"), yaml.BaseLoader).items():
            if isinstance(content, dict):
                told.setdefault(section, {}).update(content)
    return told


@pytest.mark.parametrize("seed", [1, 2])
def test_sizes_do_not_depend_on_the_order_of_the_file(motorcycle, seed):
    dice = random.Random(seed)
    described = as_data(in_full(VEHICLES / "motorcycle"))
    assert chosen(*written(shuffled(described, dice))) == chosen(*motorcycle)


def test_sizes_of_a_small_vehicle_do_not_depend_on_the_order_of_the_file():
    told = trailer(amps=7.0, length_m=4.0, others=5)
    straight = chosen(*written(told))
    for seed in range(5):
        assert chosen(*written(shuffled(told, random.Random(seed)))) == straight
