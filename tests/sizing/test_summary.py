"""What is written down of a sized trailer: every figure of a wire's sums, redone by hand."""

import pytest

from buildbook.catalogue.load import fuse_families
from tests.sizing.small import sized


@pytest.fixture
def lamp():
    sizing, wires = sized()
    return sizing, wires["lamp feed"]


def test_the_lamp_draws_what_its_plate_says_at_the_batterys_volts(lamp):
    # 4.1 A at 13.5 V is 3.29 ohm: 3.85 A at 12.7 V, a little less for the way
    _, wire = lamp
    assert 3.6 < wire.current_a < 13.5 / (13.5 / 4.1)
    assert wire.state == wire.working.state == "lit"
    assert wire.working.steady_a == wire.working.drop_a == wire.current_a
    assert wire.working.crank_a == 0.0


def test_the_drop_is_current_times_length_times_ohms_of_the_warm_wire(lamp):
    _, wire = lamp
    work = wire.working
    ratio = (234.5 + wire.conductor_c) / 254.5  # AC 43.13-1B, 11-66
    by_hand = work.drop_a * (work.length_m * work.ohm_per_m_20c * ratio + work.joints_ohm)
    assert wire.drop_v == pytest.approx(by_hand, rel=2e-3)
    assert work.joints_ohm == 0.0
    assert work.length_m > 2.4
    assert (work.drop_load, work.drop_state) == ("lamp", "lit")


def test_the_current_allowed_is_the_product_of_its_factors(lamp):
    _, wire = lamp
    work = wire.working
    (heat,) = (row for row in wire.limits if row.name == "heat")
    product = work.free_air_a * work.bundle_factor * work.altitude_factor
    assert heat.allowed == pytest.approx(product)
    assert (work.heat_c, work.heat_count, work.altitude_factor) == (40.0, 2, 1.0)
    # two wires that carry all at once: 1 / sqrt(1 + 0.42 s)
    assert work.bundle_factor == pytest.approx((1 + 0.42 * work.loaded_share) ** -0.5)
    # heat shed is I2 r at thin-wall insulation's rated 100 degC (ISO 6722 class B)
    ohm_per_m = work.ohm_per_m_20c * (234.5 + 100) / 254.5
    assert work.shed_w_per_m == pytest.approx(work.free_air_a**2 * ohm_per_m, rel=1e-3)


def test_copper_before_a_fault_is_taken_in_whole_fives_and_no_cooler_than_it_is(lamp):
    _, wire = lamp
    assert wire.working.start_c % 5 == 0
    assert 0 <= wire.working.start_c - wire.conductor_c < 5.1
    assert (wire.ambient_c, wire.bundle_count) == (40.0, 2)


def test_a_fuse_is_written_with_its_load_its_short_and_its_weakest_wire(lamp):
    sizing, wire = lamp
    fuse = sizing.fuses["F1"]
    assert (wire.fuse, fuse.feeds, fuse.state) == ("F1", ("lamp",), "lit")
    assert fuse.load_a == pytest.approx(wire.current_a, rel=1e-6)
    assert fuse.colour == fuse_families()["blade"].colours[fuse.rating_a]
    assert fuse.governing in ("load", "inrush") and not fuse.pinned
    assert fuse.weakest_a >= fuse.rating_a
    assert sizing.wires[fuse.weakest_wire].fuse == "F1"
    assert 0 < wire.working.short_a <= fuse.short_a * (1 + 1e-9)
    assert 0 < fuse.derating <= 1 and fuse.ambient_c == 40.0
    assert fuse.selective == ()
    breaking = next(row for row in fuse.limits if row.name == "breaking")
    assert breaking.value == fuse.short_a


def test_the_way_of_the_lamp_adds_up_to_what_the_drop_row_says(lamp):
    sizing, wire = lamp
    (way,) = sizing.path_drops
    assert (way.load, way.state, way.kind) == ("lamp", "lit", "ordinary")
    assert way.allowed_v == pytest.approx(0.05 * 12)
    (drop,) = (row for row in wire.limits if row.name == "drop")
    assert drop.value == pytest.approx(sum(part.volts for part in way.parts))
    assert drop.allowed == way.allowed_v
    assert {"wire", "pin", "fuse", "bus"} == {part.kind for part in way.parts}
    assert "source" not in {part.kind for part in way.parts}
    assert all(part.volts >= 0 for part in way.parts)
    (lamp_wire,) = (p.volts for p in way.parts if p.ref == wire.wire)
    assert lamp_wire == pytest.approx(wire.drop_v, rel=1e-6)
