"""Bends are taken out of a layout where there is room, and nothing else is altered."""

from __future__ import annotations

import copy
import random
from itertools import combinations

import pytest

from buildbook.drawing.schematic.straight import MovableEnd, MovableStretch, MoveLimits, straighten

LIMITS = MoveLimits(gap=1.0, clear=1.8, pitch=10.0, wider=1.0)


def bends(x, stretches) -> int:
    return sum(
        abs(x[b.a.element] + b.a.along - x[b.b.element] - b.b.along) > 1e-6 for b in stretches
    )


def uprights(x, stretches) -> list[tuple[int, str, float]]:
    """Channel, link and place of every upright line."""
    return [(b.channel, b.link, x[f.element] + f.along) for b in stretches for f in (b.a, b.b)]


def joined(
    link: str, channel: int, upper: str, lower: str, a: float = 0, b: float = 0
) -> MovableStretch:
    return MovableStretch(link, channel, MovableEnd(upper, False, a), MovableEnd(lower, True, b))


def test_an_element_moves_under_the_one_that_feeds_it() -> None:
    x = {"fuse": 9.0, "lamp": 5.0}
    stretches = [joined("1", 1, "fuse", "lamp")]
    straighten([["fuse"], ["lamp"]], x, dict.fromkeys(x, (4.0, 4.0)), stretches, (), LIMITS)
    assert x["fuse"] == x["lamp"]


def test_a_straight_path_moves_as_a_whole() -> None:
    x = {"fuse": 9.0, "lamp": 5.0, "ground": 5.0, "left": 1.0}
    rows = [["fuse"], ["left", "lamp"], ["ground"]]
    stretches = [joined("1", 1, "fuse", "lamp"), joined("2", 2, "lamp", "ground")]
    straighten(rows, x, dict.fromkeys(x, (1.0, 3.0)), stretches, (), LIMITS)
    assert x["fuse"] == x["lamp"] == x["ground"]


def test_a_neighbour_is_pushed_along_but_not_through_the_wall() -> None:
    rows, reach = [["fuse", "wide"], ["lamp", "beside"]], (2.0, 2.0)
    stretches = [joined("1", 1, "fuse", "lamp")]
    x = {"fuse": 8.0, "wide": 40.0, "lamp": 5.0, "beside": 10.0}
    straighten(rows, x, {**dict.fromkeys(x, reach), "fuse": (8.0, 2.0)}, stretches, (), LIMITS)
    assert x["fuse"] == x["lamp"] == 8.0
    assert x["beside"] - x["lamp"] >= 5.0
    x = {"fuse": 8.0, "wide": 13.0, "lamp": 5.0, "beside": 13.0}
    full = {**dict.fromkeys(x, reach), "fuse": (8.0, 2.0), "beside": (5.0, 2.0)}
    straighten(rows, x, full, stretches, (), LIMITS)
    assert x["lamp"] == 5.0


def test_a_foot_slides_along_a_spread_element_and_its_neighbour_makes_room() -> None:
    stretches = [joined("1", 1, "ecu", "lamp", 0.0), joined("2", 1, "ecu", "horn", 10.0)]
    x = {"ecu": 5.0, "lamp": 9.0, "horn": 30.0}
    reach = {"ecu": (5.0, 30.0), "lamp": (9.0, 5.0), "horn": (5.0, 40.0)}
    straighten([["ecu"], ["lamp", "horn"]], x, reach, stretches, {"ecu"}, LIMITS)
    assert not bends(x, stretches)
    assert stretches[1].a.along - stretches[0].a.along >= LIMITS.pitch - 0.5


def test_an_upright_line_is_not_laid_on_anothers() -> None:
    """Right under its fuse the lamp's second foot would stand where link 2 comes down."""
    x = {"fuse": 5.0, "other": 14.5, "third": 30.0, "lamp": 7.0, "far": 40.0}
    stretches = [
        joined("1", 1, "fuse", "lamp"),
        joined("2", 1, "other", "far"),
        joined("3", 1, "third", "lamp", 0.0, 10.0),
    ]
    reach = dict.fromkeys(x, (1.0, 1.0)) | {"other": (7.5, 1.0), "lamp": (1.0, 11.0)}
    straighten([["fuse", "other", "third"], ["lamp", "far"]], x, reach, stretches, (), LIMITS)
    upright = [(x[f.element] + f.along, b.link) for b in stretches for f in (b.a, b.b)]
    for at, link in upright:
        assert all(abs(at - u) >= LIMITS.clear - 1e-6 for u, other in upright if other != link)


@pytest.mark.parametrize("seed", range(40))
def test_any_layout_keeps_its_order_and_room_and_gets_no_more_bends(seed: int) -> None:
    chance = random.Random(seed)
    rows = [[f"{r}.{n}" for n in range(chance.randint(1, 6))] for r in range(4)]
    reach = {key: (chance.uniform(1, 4), chance.uniform(12, 25)) for row in rows for key in row}
    x: dict[str, float] = {}
    for row in rows:
        edge = 0.0
        for key in row:
            x[key] = edge + reach[key][0] + chance.choice((0, 0, chance.uniform(0, 9)))
            edge = x[key] + reach[key][1] + LIMITS.gap
    stretches = []
    for n in range(20):
        upper = chance.randrange(3)
        a, b = chance.choice(rows[upper]), chance.choice(rows[upper + 1])
        stretches.append(joined(str(n), upper + 1, a, b, chance.choice((0, 10)), 0.0))
    before, was = copy.deepcopy(stretches), dict(x)
    width = max(x[k] + reach[k][1] for k in x)
    straighten(rows, x, reach, stretches, (), LIMITS)
    assert bends(x, stretches) <= bends(was, before)
    assert [b.a.along for b in stretches] == [b.a.along for b in before]
    for (one, other), (was_one, was_other) in zip(
        combinations(uprights(x, stretches), 2), combinations(uprights(was, before), 2), strict=True
    ):
        if one[:2] != other[:2] and one[0] == other[0]:
            kept = abs((one[2] - other[2]) - (was_one[2] - was_other[2])) < 1e-6
            assert kept or abs(one[2] - other[2]) >= LIMITS.clear - 1e-6
    for row in rows:
        ends = [0.0, *(x[key] + reach[key][1] + LIMITS.gap for key in row)]
        assert all(x[k] - reach[k][0] >= end - 1e-6 for k, end in zip(row, ends, strict=False))
        assert ends[-1] - LIMITS.gap <= width + LIMITS.wider + 1e-6
