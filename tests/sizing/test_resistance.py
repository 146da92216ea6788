"""Resistances of wires and fuses as the network takes them."""

import pytest

from buildbook.catalogue.load import fuse_families
from buildbook.sizing.finished_runs import conductor_of
from buildbook.sizing.resistance import fuse_ohms, one_wire_ohms
from tests.checks import minimal as m

# IEC 60228, class 5, plain copper: 39.0 mohm/m for 0.5 mm2 at 20 degC, 1.91 for 10 mm2 (memory)
HALF_OHM_PER_M = 0.0390


def ohms(conductor_c, kind="pin", length_m=2.0, label="0.5 mm2", family="thin-wall"):
    wire = m.wire("1", "c", m.end("a.1"), m.end("S1", kind), length_m)
    conductor = conductor_of(m.vehicle(), m.sized("1", label, family=family))
    return one_wire_ohms(wire, conductor, conductor_c)


def test_a_wire_at_20_degrees_has_the_ohms_of_its_standard():
    assert ohms(20.0) == pytest.approx(2 * HALF_OHM_PER_M, rel=1e-6)


def test_a_warm_wire_has_more_by_the_rule_of_234_5_degrees():
    # (234.5 + 80) / (234.5 + 20), AC 43.13-1B, 11-66
    assert ohms(80.0) / ohms(20.0) == pytest.approx(314.5 / 254.5)


def test_a_crimp_in_a_splice_adds_a_fifth_of_a_milliohm_and_warms_not():
    assert ohms(20.0, "splice") - ohms(20.0) == pytest.approx(0.0002)


def test_the_row_of_the_chosen_label_and_family_is_taken():
    assert ohms(20.0, label="10 mm2", family="battery") == pytest.approx(2 * 0.00191)
    assert ohms(20.0, label="0.5 mm2") > 2 * ohms(20.0, label="1.5 mm2")


def test_a_fuse_link_has_fewer_ohms_the_more_it_is_rated():
    vehicle = m.vehicle((m.fuse("F1"), m.fuse("F2", fuse="maxi")))
    families = fuse_families()
    found = fuse_ohms(vehicle, {"F1": 10.0, "F2": 40.0})
    assert found["F1"] == pytest.approx(families["blade"].ohms_at_1a / 10)
    assert found["F2"] == pytest.approx(families["maxi"].ohms_at_1a / 40)
