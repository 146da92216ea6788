"""Wires that are thick for nothing but a heavy fuse, such as a relay's coil behind 40 A."""

import pytest

from buildbook.checks.rules import fuse_thickens_wire
from buildbook.sizing.model import Limit
from tests.checks import minimal as m


def limits(heat):
    return (
        Limit("heat", 0.15, 30.0, "A", heat, ""),
        Limit("fuse", 40.0, 42.0, "A", "4 mm2", "", "F1"),
        Limit("smallest", 0.35, 4.0, "mm2", "0.35 mm2", ""),
    )


def coil(amps=0.15, heat="0.22 mm2", **fields):
    vehicle = m.vehicle(
        (m.fuse("F1"), m.device("K1", "relay", "86 85")), {"coil": ("F1.out", "K1.86")}
    )
    wires = (m.wire("101", "coil", m.end("F1.out"), m.end("K1.86")),)
    told = {"governing": "fuse", "fuse": "F1", "limits": limits(heat), **fields}
    sized = m.sized("101", "4 mm2", current_a=amps, **told)
    sizing = m.sizing(sized, m.rated("F1", 40.0, 28.0))
    return list(fuse_thickens_wire.check(m.assessed(vehicle, m.harness(wires), sizing_=sizing)))


def test_a_coil_behind_40_a_is_told_what_it_would_be_and_which_fuse_would_do():
    (found,) = coil()
    assert (found.about, found.severity) == ("coil", "note")
    assert "101" in found.text and "0.35 mm2" in found.text and "F1 of 40 A" in found.text
    # three quarters of 1 A carry 0.15 A; a blade fuse is made from 1 A on (ISO 8820-3)
    assert "(1 A)" in found.remedy


@pytest.mark.parametrize(
    "told",
    [
        {"amps": 2.1},  # a twentieth of 40 A is 2 A
        {"heat": "1.5 mm2"},  # 4 mm2 are not three times as much
        {"governing": "heat"},
        {"pinned": True},
        {"fuse": ""},
    ],
)
def test_it_stays_silent_where_the_fuse_is_not_all(told):
    assert coil(**told) == []
