"""Symptoms and probe places read as words for somebody with a meter."""

from __future__ import annotations

from buildbook.book.chapters.troubleshooting import grouped
from buildbook.book.fault_wording import probe_place, short_place
from buildbook.book.symptom_headings import heading
from buildbook.words.in_order import natural


def test_a_fuse_is_probed_on_its_top(lapwing):
    assert probe_place(lapwing, "F21.out~") == "F21 out, top of the fuse"


def test_a_bolted_fuse_is_probed_on_its_own_metal_and_has_no_top(motorcycle):
    fuses = motorcycle.vehicle.all_of("fuse")
    bolted = [pin for fuse in fuses for pin in fuse.pins if pin.stud]
    assert bolted
    for pin in bolted:
        own, outside = (probe_place(motorcycle, node) for node in (f"{pin.id}~", pin.id))
        assert own == f"{pin.device} {pin.name}, the fuse's tag"
        assert outside == f"{pin.id} stud"
        assert short_place(own) == f"{pin.device} {pin.name} tag"


def test_a_controller_is_probed_at_its_plug(lapwing):
    assert probe_place(lapwing, "ecu.A1") == "ecu.A1 at the plug"


def test_a_pass_through_is_probed_on_the_half_named(lapwing):
    assert probe_place(lapwing, "X1.9/engine") == "X1.9 engine half"


def test_a_ground_is_probed_on_its_stud(lapwing):
    assert probe_place(lapwing, "G1.stud") == "G1 stud"


def test_no_probe_place_shows_a_node_inside_a_device(lapwing):
    nodes = {step.node for s in lapwing.faultfinding.symptoms for step in s.steps}
    assert nodes
    assert not [node for node in nodes if set("~/") & set(probe_place(lapwing, node))]


def test_headings_are_short_enough_for_the_table(lapwing):
    longest = max((heading(lapwing, s) for s in lapwing.faultfinding.symptoms), key=len)
    assert len(longest) <= 110, longest


def test_every_symptom_stands_in_one_group_and_reads_unlike_the_others(lapwing):
    rows = [row for rows in grouped(lapwing).values() for row in rows]
    assert len(rows) == len(lapwing.faultfinding.symptoms)
    headings = [row.heading for row in rows]
    twice = sorted({h for h in headings if headings.count(h) > 1})
    assert len(twice) <= len(headings) / 20, twice


def test_index_puts_f2_before_f10():
    assert sorted(["F10", "F2", "F1"], key=natural) == ["F1", "F2", "F10"]
