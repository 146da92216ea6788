"""Conductors side by side where one cannot carry the current."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.harness.build import build_harness
from buildbook.harness.wires import wire_key
from buildbook.sizing.first_pass import learn
from buildbook.sizing.model import Limit, Sizing
from tests.checks import minimal as m
from tests.harness.sound import check_ends, check_joins, check_paths
from tests.harness.test_routes_and_splices import STAR, built, of, vehicle_of
from tests.harness.trees import sensor

POSTS = {
    "G2": {"kind": "ground", "at": "a", "system": "all"},
    "s": sensor("b", 1),
    "t": sensor("d", 1),
}
CIRCUITS = {"strap": {"join": ["G1", "G2"]}, "c": {"join": ["G2", "s.1", "t.1"]}}


def sized(heat_a: float, allowed_a: float, wires: dict[str, object], only: str) -> Sizing:
    """Every wire with a heat limit of 1 A of 10 A, but one."""
    rows = []
    for id_ in wires:
        pair = (heat_a, allowed_a) if id_ == only else (1.0, 10.0)
        limit = Limit("heat", *pair, "A", "", "this test")
        rows.append(replace(m.sized(id_, "0.5 mm2"), limits=(limit,)))
    return m.sizing(*rows)


@pytest.mark.parametrize(("amps", "count"), [(300.0, 1), (301.0, 2), (480.0, 2), (481.0, 3)])
def test_conductors_share_a_current_at_80_percent_of_their_sum(amps: float, count: int) -> None:
    # one that carries 300 A; two are trusted with 2 * 0.8 * 300 A = 480 A (common practice)
    vehicle = vehicle_of(POSTS, CIRCUITS, STAR)
    harness = built(vehicle)
    (strap,) = of(harness, "strap")
    solved = m.solved(m.solution("on", amps={f"wire:{w}": 1.0 for w in harness.wires}))
    known = learn(harness, sized(amps, 300.0, harness.wires, strap.id), solved)
    again, problems = build_harness(vehicle, None, None, known.legs, known.parallel)
    assert again is not None, problems
    wires = of(again, "strap")
    assert len(wires) == count
    assert {(w.a.node, w.b.node) for w in wires} == {(strap.a.node, strap.b.node)}
    assert len({w.id for w in wires}) == count
    check_joins(vehicle, again)
    check_ends(vehicle, again)
    check_paths(vehicle, again)


def test_a_stud_feeds_a_splice_by_two_but_a_contact_takes_one() -> None:
    vehicle = vehicle_of(POSTS, CIRCUITS, STAR)
    first = built(vehicle)
    keys = {wire_key(w.circuit, w.harness, w.a, w.b): 2 for w in of(first, "c")}
    harness, problems = build_harness(vehicle, parallel=keys)
    assert harness is not None, problems
    ends = [w.a.node for w in of(harness, "c")]
    assert ends.count("G2.stud") == 2 and ends.count("s.1") == 1 and ends.count("t.1") == 1
    check_ends(vehicle, harness)
