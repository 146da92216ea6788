"""The drawn faces of two halves, laid on each other: cavity on cavity, keyway on keyway."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import pytest

from buildbook.description.models import Plug
from buildbook.drawing.faces.face import face
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.model import Drawing
from buildbook.pipeline import sized_of, untold
from tests.conftest import TESTS
from tests.drawing.reading import letterings, shapes

TIGHT_MM = 0.02


@dataclass(frozen=True)
class Side:
    """One side of a connector as drawn, mm from the left and top of its shell."""

    width: float
    cavities: dict[str, tuple[float, float]]
    tabs: dict[str, tuple[float, float]]
    """keyway, latch: the middle of each."""

    def turned_round(self) -> Side:
        """The paper held up to the light and seen from its back."""
        return Side(
            self.width,
            {name: (self.width - x, y) for name, (x, y) in self.cavities.items()},
            {name: (self.width - x, y) for name, (x, y) in self.tabs.items()},
        )


def box_of(shape) -> Box:
    return Box(*(float(shape.get(name)) for name in ("x", "y", "width", "height")))


def side(drawing: Drawing, mating: bool) -> Side:
    """The wire side is drawn first, the mating side second; read from circles and lettering."""
    shell = box_of(shapes(drawing, "rect", "shell")[mating])
    kinds = ("contact", "hole") if mating else ("wire", "empty")
    rings = [
        (float(circle.get("cx")), float(circle.get("cy")))
        for kind in kinds
        for circle in shapes(drawing, "circle", kind)
    ]
    inside = [t for t in letterings(drawing) if within(shell, t.box)]
    cavities = {}
    for x, y in rings:
        named = min(inside, key=lambda t: math.dist((x, y), (t.box.x + t.box.w / 2, t.box.bottom)))
        cavities[named.text] = (x - shell.x, y - shell.y)
    assert len(cavities) == len(rings)
    tabs = {
        kind: (box.x + box.w / 2 - shell.x, box.y + box.h / 2 - shell.y)
        for kind in ("keyway", "latch")
        for box in [box_of(shape) for shape in shapes(drawing, "rect", kind)[mating:][:1]]
    }
    return Side(shell.w, cavities, tabs)


def within(shell: Box, ink: Box) -> bool:
    mid_x, mid_y = ink.x + ink.w / 2, ink.y + ink.h / 2
    return shell.x <= mid_x <= shell.right and shell.y <= mid_y <= shell.bottom


def apart(one: Side, other: Side) -> list[str]:
    """Cavities, keyways and latches that do not lie on each other."""
    assert one.cavities.keys() == other.cavities.keys() and one.tabs.keys() == other.tabs.keys()
    places, opposite = one.cavities | one.tabs, other.cavities | other.tabs
    return [n for n, place in places.items() if math.dist(place, opposite[n]) > TIGHT_MM]


def halves_of(result) -> list[tuple[Drawing, Drawing]]:
    """The drawings of both halves of every pass-through."""
    connectors = result.harness.connectors
    return [
        tuple(face(result, connectors[f"{through.device}/{h}"]) for h in through.harnesses)
        for through in result.vehicle.pass_throughs
    ]


def check_every_pair(result) -> int:
    pairs = halves_of(result)
    for one, other in pairs:
        assert apart(side(one, True), side(other, True).turned_round()) == [], one.name
    return len(pairs)


def test_every_pair_of_the_example_mates(lapwing):
    assert check_every_pair(lapwing) >= 4


def test_the_pair_of_a_buggy_mates():
    sized, problems = sized_of(TESTS / "vehicles" / "dune-buggy", untold)
    assert not problems and check_every_pair(sized) == 1


def test_a_motorcycle_has_one_harness_and_no_pair(motorcycle):
    assert check_every_pair(motorcycle) == 0


def test_the_half_with_the_sockets_is_drawn_as_its_type_is_written(lapwing):
    """In the description rows run from left to right as seen from the wire side."""
    seen = 0
    for connector in lapwing.harness.connectors.values():
        rows = [[c for c in row if c is not None] for row in connector.plug.rows]
        drawn = side(face(lapwing, connector), False).cavities
        for row in rows:
            across = sorted(row, key=lambda cavity: drawn[cavity][0])
            assert across == (row[::-1] if connector.gender == "pin" else row), connector.id
            seen += connector.gender == "pin" and len(row) > 1
    assert seen


PLUGS = [
    Plug(contact="a", rows=[["1", None, "2"], ["3", "4", "5"]], keyway="left", latch="bottom"),
    Plug(contact="a", rows=[["1", "2", "3"], ["4", "5"]], staggered=True, latch="right"),
    Plug(contact="a", rings=[["1"], [*"234567"]], keyway="left"),
    Plug(contact="a", rings=[[*"123"], [*"456789"]], keyway="bottom", staggered=True),
]


@pytest.mark.parametrize("plug", PLUGS, ids=["gap", "staggered", "ring", "staggered rings"])
def test_gaps_staggers_rings_keyways_and_latches_mate(two_wire, plug):
    connector = next(iter(two_wire.harness.connectors.values()))
    both = [
        face(two_wire, replace(connector, plug=plug, gender=gender)) for gender in ("socket", "pin")
    ]
    socket, pin = (side(drawing, True) for drawing in both)
    assert apart(socket, pin.turned_round()) == []
    assert apart(socket, pin) != []
