"""Seven wires twisted along two runs, of which one leaves half way: told step by step, on paper."""

from __future__ import annotations

import math

import pytest

from buildbook.bench.laying_order import laying_orders, steps_of
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.harness.model import Bundle
from tests.checks import minimal as m

BY_HAND = [(str(n),) for n in range(1, 8)]


def bench(concentric: bool = True, wires: int = 7) -> HarnessOnBench:
    """Wires 1 to 7 of 0.5 mm2 (1.6 mm thick) from P; 7 to L alone, the others past it to M."""
    runs = (
        m.run("r1", "P", "L", 2.0, concentric=concentric),
        m.run("r2", "L", "M", 1.0, concentric=concentric),
    )
    ids = [str(n) for n in range(1, wires + 1)]
    ways = {id_: ("r1",) if id_ == "7" else ("r1", "r2") for id_ in ids}
    made = tuple(
        m.wire(
            id_,
            "c",
            m.end(f"a.{id_}"),
            m.end(f"b.{id_}", point="PLM"[len(way)]),
            2.0,
            runs=way,
            points=tuple("PLM"[: len(way) + 1]),
        )
        for id_, way in ways.items()
    )
    bundles = tuple(
        Bundle(run, tuple(i for i, way in ways.items() if run in way)) for run in ("r1", "r2")
    )
    vehicle = m.vehicle((), {}, runs, rope={"h": {"runs": []}})
    sizing = m.sizing(*(m.sized(id_) for id_ in ids))
    return HarnessOnBench(vehicle, m.harness(made, bundles=bundles), sizing, {}, "h")


def test_six_lie_round_one_and_a_filler_takes_the_place_of_what_leaves():
    """The one in the middle goes all the way. Round it lie six: three wires across are 4.8 mm, a
    turn is twelve times that (ASTM B8 allows 8 to 16, memory), on a circle of 3.2 mm."""
    (order,) = laying_orders(bench())
    assert order.points == (("P", 0), ("L", 2000), ("M", 3000))
    assert sorted(order.strands) == BY_HAND
    core, ring = order.layers
    assert (core.name, core.hand, core.lay_mm, core.outside_mm) == ("core", "", 0, 1.6)
    assert (core.extra, core.angle_deg, core.bunched) == (0, 0, False)
    assert (ring.name, ring.bunched) == ("1", False)
    assert ring.hand in ("left", "right")
    assert (ring.outside_mm, ring.lay_mm) == (
        pytest.approx(4.8, abs=0.1),
        pytest.approx(57.6, abs=1),
    )
    assert ring.angle_deg == pytest.approx(math.degrees(math.atan(math.pi * 3.2 / 57.6)), abs=0.3)
    assert ring.extra == pytest.approx(math.hypot(1, math.pi * 3.2 / 57.6) - 1, abs=0.001)

    begins, ends = core.stations
    assert (begins.point, begins.at_mm, len(begins.into), begins.out) == ("P", 0, 1, ())
    assert (ends.point, ends.at_mm, ends.into, ends.out) == ("M", 3000, (), begins.into)
    assert begins.into[0] != ("7",)
    first, half, last = ring.stations
    assert (first.point, first.at_mm, len(first.into), first.out) == ("P", 0, 6, ())
    assert (half.point, half.at_mm, half.into, half.out) == ("L", 2000, (), (("7",),))
    assert (last.point, last.at_mm, last.into, len(last.out)) == ("M", 3000, (), 5)
    assert sorted((*first.into, *begins.into)) == BY_HAND
    assert (first.fillers_in, first.fillers_out) == ((), ())
    assert (half.fillers_in, half.fillers_out) == (((1.6, 1),), ())
    assert (last.fillers_in, last.fillers_out) == ((), ((1.6, 1),))


def test_a_step_is_told_where_a_layer_begins_or_changes_and_not_where_all_ends():
    (order,) = laying_orders(bench())
    assert [(n, layer.name, at.point, begins) for n, layer, at, begins in steps_of(order)] == [
        (1, "core", "P", True),
        (2, "1", "P", True),
        (3, "1", "L", False),
    ]


def test_a_harness_that_is_not_twisted_and_a_wire_alone_have_no_order():
    assert laying_orders(bench(concentric=False)) == ()
    assert laying_orders(bench(wires=1)) == ()
