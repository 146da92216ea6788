"""Barrels and sleeves of splices, chosen by what they join."""

from __future__ import annotations

import pytest

from buildbook.catalogue.load import barrels, sleeves, wire_families
from buildbook.catalogue.model import Conductor
from buildbook.harness.joints import OVERLAP_MM, Joint, joints
from buildbook.harness.model import Harness, Splice
from buildbook.result import Result
from tests.checks import minimal as m

THIN = {c.label: c for f in ("thin-wall", "battery") for c in wire_families()[f].conductors}


def joined(**sizes: tuple[str, str]) -> Joint:
    """The joint of one splice; each wire is given as (run that it leaves by, size)."""
    wires = tuple(
        m.wire(id_, "c", m.end(f"d.{id_}"), m.end("S1", "splice"), runs=(run,) if run else ())
        for id_, (run, _) in sizes.items()
    )
    harness: Harness = m.harness(wires, (Splice("S1", "c", "h", "P", 0.0, tuple(sizes)),))
    conductors: dict[str, Conductor] = {id_: THIN[size] for id_, (_, size) in sizes.items()}
    return joints(harness, conductors, tuple(barrels().values()), sleeves().values())["S1"]


def test_a_feed_that_divides_meets_its_branches_in_the_barrel() -> None:
    # 2.5 mm2 on one side, 1 + 1.5 = 2.5 mm2 on the other: the 1.5 to 2.5 mm2 barrel
    joint = joined(a=("in", "2.5 mm2"), b=("out", "1 mm2"), c=("out", "1.5 mm2"))
    assert (joint.kind, joint.near, joint.far) == ("through", ("a",), ("c", "b"))
    assert joint.barrel and joint.barrel.id == "barrel-2.5" and joint.copper_mm2 == 2.5


def test_unlike_sides_overlap_in_a_barrel_for_their_sum() -> None:
    # 0.35 mm2 against 2 x 1.5 mm2: no range holds both; 3.35 mm2 together
    joint = joined(a=("in", "0.35 mm2"), b=("out", "1.5 mm2"), c=("out", "1.5 mm2"))
    assert joint.kind == "parallel" and joint.copper_mm2 == pytest.approx(3.35)
    assert joint.barrel and joint.barrel.id == "barrel-6"


def test_wires_from_one_side_make_an_end_splice() -> None:
    joint = joined(a=("in", "0.5 mm2"), b=("in", "0.5 mm2"), c=("in", "0.5 mm2"))
    assert (joint.kind, joint.far) == ("end", ())
    assert joint.barrel and joint.barrel.id == "barrel-2.5"  # 1.5 mm2


def test_too_much_copper_is_bolted() -> None:
    joint = joined(a=("in", "70 mm2"), b=("out", "50 mm2"), c=("up", "50 mm2"))
    assert (joint.kind, joint.barrel, joint.sleeve) == ("bolted", None, None)


def test_three_ways_on_keep_the_heaviest_apart() -> None:
    joint = joined(a=("in", "4 mm2"), b=("left", "2.5 mm2"), c=("right", "2.5 mm2"))
    assert joint.near == ("a",) and joint.far == ("b", "c")


def test_every_splice_of_the_example_is_sealed_over_its_barrel(lapwing: Result) -> None:
    assert lapwing.joints.keys() == lapwing.harness.splices.keys()
    for joint in lapwing.joints.values():
        splice = lapwing.harness.splices[joint.splice]
        assert sorted((*joint.near, *joint.far)) == sorted(splice.wires)
        section = {id_: lapwing.sizing.wires[id_].area_mm2 for id_ in splice.wires}
        sides = [sum(section[id_] for id_ in side) for side in (joint.near, joint.far)]
        taken = sides if joint.kind == "through" else [sum(sides)]
        barrel, sleeve = joint.barrel, joint.sleeve
        assert barrel is not None
        assert all(barrel.smallest_mm2 <= s <= barrel.largest_mm2 for s in taken)
        assert sleeve is not None and sleeve.largest_mm >= barrel.outside_mm
        assert joint.sleeve_mm == barrel.length_mm + 2 * OVERLAP_MM


def test_a_thin_side_is_built_up_so_that_the_sleeve_closes_on_it() -> None:
    # one 0.35 mm2 wire, under 2 mm across, against a barrel of 5.5 mm: three to one does not span
    joint = joined(a=("in", "0.35 mm2"), b=("out", "1.5 mm2"), c=("out", "1.5 mm2"))
    thin = THIN["0.35 mm2"].outside_mm
    assert joint.under and joint.sleeve and joint.barrel
    assert joint.thin == ("a",) and joint.under_mm == 2 * OVERLAP_MM
    assert joint.under.smallest_mm <= thin <= joint.under.largest_mm
    assert joint.sleeve.smallest_mm <= thin + 2 * joint.under.wall_mm
    assert joint.sleeve.largest_mm >= joint.barrel.outside_mm
    # 4 mm2 against 2 x 2.5 mm2: one sleeve does
    even = joined(a=("in", "4 mm2"), b=("out", "2.5 mm2"), c=("out", "2.5 mm2"))
    assert even.under is None and even.sleeve
