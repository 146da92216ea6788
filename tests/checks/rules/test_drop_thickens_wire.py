"""Wires that are thick because shared ones use up what their load may lose: it must be told."""

from dataclasses import replace

import pytest

from buildbook.checks.rules import drop_thickens_wire
from buildbook.sizing.model import Limit, PathDrop, PathPart, WireWorking
from tests.checks import minimal as m


def working(load):
    return WireWorking(
        1.0, 0.001, 0.0, 6.8, 0.0, 6.8, "on", 40.0, 1, 1.0, 1.0, 1.0, 1.0, 1.0, load, "on"
    )


def limits(heat):
    return (
        Limit("heat", 6.8, 100.0, "A", heat, ""),
        Limit("drop", 0.99, 1.0, "V", "16 mm2", "", "S1.coil"),
        Limit("smallest", 0.5, 16.0, "mm2", "0.5 mm2", ""),
    )


def way(load="S1.coil", own_v=0.05, shared_v=0.4, rest_v=0.5, kind="author"):
    parts = (
        PathPart("wire", "110", shared_v),
        PathPart("fuse", "F1", rest_v),
        PathPart("wire", "208", own_v),
    )
    return PathDrop(load, "on", kind, 1.0, parts)


def found_of(ways=None, heat="0.75 mm2", shared_a=160.0, fitted="yes", **fields):
    loads = tuple(m.load(f"S{n}.coil", f"S{n}.86", f"S{n}.85", 2.0) for n in (1, 2))
    devices = tuple(
        m.device(x.device, "relay", "86 85", loads=(x,), written={"fitted": fitted}) for x in loads
    )
    vehicle = m.vehicle(devices, {"a": ("S1.85", "S2.85")})
    own = {"governing": "drop", "current_a": 6.8, "limits": limits(heat), **fields}
    sizing = m.sizing(
        m.sized("110", "70 mm2", current_a=shared_a),
        m.sized("208", "16 mm2", working=working("S1.coil"), **own),
        m.sized("209", "10 mm2", working=working("S2.coil"), **own),
    )
    sizing = replace(sizing, path_drops=tuple(ways or [way()]))
    wires = tuple(m.wire(w, "a", m.end("S1.85"), m.end("S2.85")) for w in ("110", "208", "209"))
    return list(drop_thickens_wire.check(m.assessed(vehicle, m.harness(wires), sizing_=sizing)))


def test_a_ground_of_16_mm2_for_a_coil_is_told_what_uses_up_its_drop():
    (found,) = found_of()
    assert (found.about, found.severity) == ("S1.coil", "note")
    assert "Wire 208" in found.text and "6.80 A and would be 0.75 mm2" in found.text
    assert "1.00 V" in found.text and "0.90 V are lost elsewhere" in found.text
    assert "0.10 V are left" in found.text and "Wire 110" in found.text
    assert "`drop`" in found.remedy and "counts what all loads of 'on'" in found.remedy


def test_where_no_author_said_the_drop_it_may_be_said():
    (found,) = found_of([way(kind="critical")])
    assert found.remedy.startswith("Let it lose more by a `drop`")


def test_loads_that_share_their_way_are_told_together():
    other = way("S2.coil")
    other = replace(other, parts=(*other.parts[:2], PathPart("wire", "209", 0.05)))
    (found,) = found_of([other, way()])
    assert found.about == "S1.coil" and found.also == ("S2.coil",)
    assert found.text.endswith("So it is with S2.coil.")


@pytest.mark.parametrize(
    "told",
    [
        {"ways": [way(own_v=0.25, shared_v=0.2)]},  # more than a fifth of 1 V is left to it
        {"ways": [way(own_v=0.15)]},  # 1.05 V are not kept: another rule tells it
        {"heat": "6 mm2"},  # 16 mm2 are not four times as much
        {"shared_a": 8.0, "ways": [way(shared_v=0.3)]},  # as good as its own: 0.35 V
        {"governing": "heat"},
        {"pinned": True},
    ],
)
def test_it_stays_silent_where_its_own_current_asks_for_the_copper(told):
    assert found_of(**told) == []


def test_the_wire_of_a_part_that_is_fitted_later_is_told_as_well():
    """It is bought and laid now."""
    assert [found.about for found in found_of(fitted="later")] == ["S1.coil"]
