"""Connector faces: where cavities stand, what is in them, and how the view turns round."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from buildbook.description.models import Plug
from buildbook.drawing.faces.face import face, faces, side_in, wires_in
from buildbook.drawing.shared.box import Box
from buildbook.vehicle.faces import cavity_places
from tests.drawing.reading import faults, letterings, shapes


def test_rows_read_from_top_left_with_gaps():
    plug = Plug(contact="pin-1.5", rows=[["1", None, "2"], ["3", "4", "5"]])
    places = cavity_places(plug)
    assert places == {"1": (0, 0), "2": (2, 0), "3": (0, 1), "4": (1, 1), "5": (2, 1)}


def test_staggered_row_stands_half_a_pitch_to_the_right():
    plug = Plug(contact="pin-1.5", rows=[["1", "2"], ["3", "4"]], staggered=True)
    assert cavity_places(plug)["3"] == (0.5, 1)


def test_ring_runs_clockwise_from_the_keyway():
    plug = Plug(contact="size-20", rings=[["1"], ["2", "3", "4", "5"]], keyway="top")
    places = cavity_places(plug)
    assert places["1"] == pytest.approx((0, 0))
    assert places["2"] == pytest.approx((0, -1))
    assert places["3"] == pytest.approx((1, 0))
    assert places["5"] == pytest.approx((-1, 0))


def test_ring_starts_where_the_keyway_is():
    plug = Plug(contact="size-20", rings=[["1", "2", "3"]], keyway="left")
    x, y = cavity_places(plug)["1"]
    assert (x, y) == pytest.approx((-1, 0), abs=1e-9)
    assert math.hypot(*cavity_places(plug)["2"]) == pytest.approx(1)


def test_mating_side_changes_left_and_right_only():
    plug = Plug(contact="pin-1.5", rows=[["1", "2"], ["3", "4"]], keyway="left")
    back, front = cavity_places(plug), cavity_places(plug, mirrored=True)
    assert front == {c: (-x, y) for c, (x, y) in back.items()}
    sides = {side: side_in(side, mirrored=True) for side in ("left", "right", "top", "bottom")}
    assert sides == {"left": "right", "right": "left", "top": "top", "bottom": "bottom"}
    assert side_in("left", mirrored=False) == "left"


def test_every_connector_and_both_halves_have_a_face(lapwing):
    drawn = faces(lapwing)
    assert drawn.keys() == lapwing.harness.connectors.keys()
    for pass_through in lapwing.vehicle.pass_throughs:
        for harness in pass_through.harnesses:
            assert f"{pass_through.device}/{harness}" in drawn


MOST_LETTERED = 40
"""Wires from which on a face may leave their numbers to the table beside it, half a page each."""


def test_face_letters_every_cavity_and_the_wire_in_it(lapwing):
    for connector in lapwing.harness.connectors.values():
        texts = [t.text for t in letterings(face(lapwing, connector))]
        wires = wires_in(lapwing, connector)
        assert set(cavity_places(connector.plug)) <= set(texts), connector.id
        named = [wire.id in texts and wire.colour in texts for wire in wires.values()]
        assert all(named) or (not any(named) and len(named) > MOST_LETTERED), connector.id


def test_each_used_cavity_is_filled_and_each_blank_of_a_sealed_plug_crossed(lapwing):
    for connector in lapwing.harness.connectors.values():
        drawing = face(lapwing, connector)
        used = len(wires_in(lapwing, connector))
        blank = len(cavity_places(connector.plug)) - used
        assert len(shapes(drawing, "circle", "wire")) == used
        assert len(shapes(drawing, "circle", "empty")) == blank
        assert len(shapes(drawing, "circle", "contact")) == used
        assert len(shapes(drawing, "circle", "hole")) == blank
        strokes = 2 * blank if connector.plug.sealed else 0
        assert len(shapes(drawing, "polyline", "plugged")) == strokes


def test_a_face_shows_both_sides_and_says_which_is_which(lapwing):
    for connector in lapwing.harness.connectors.values():
        drawing = face(lapwing, connector)
        texts = [t.text for t in letterings(drawing)]
        assert texts.count("Seen from the") == 2
        assert texts.count("WIRE SIDE") == texts.count("MATING SIDE") == 1
        assert len(shapes(drawing, "rect", "shell")) == 2
        assert len(shapes(drawing, "rect", "keyway")) == 2


def test_left_and_right_change_places_between_the_two_sides(two_wire):
    """Turning a plug round swaps left and right and leaves top and bottom (geometry)."""
    connector = next(iter(two_wire.harness.connectors.values()))
    plug = Plug(contact="a", rows=[["L", "R"], ["P", "Q"]], keyway="left")
    drawing = face(two_wire, replace(connector, plug=plug))
    shells = [(float(e.get("x")), float(e.get("width"))) for e in shapes(drawing, "rect", "shell")]
    assert shells[0][0] + shells[0][1] < shells[1][0]
    bars = [float(e.get("x")) for e in shapes(drawing, "rect", "keyway")]
    assert bars[0] < shells[0][0] and bars[1] > shells[1][0]
    wire_side = {name: box for name, box in named(drawing, "LRPQ") if box.x < shells[1][0] - 1}
    mating = {name: box for name, box in named(drawing, "LRPQ") if box.x > shells[1][0]}
    assert wire_side["L"].x < wire_side["R"].x and wire_side["P"].x < wire_side["Q"].x
    assert mating["L"].x > mating["R"].x and mating["P"].x > mating["Q"].x
    for view in (wire_side, mating):
        assert max(view["L"].bottom, view["R"].bottom) < min(view["P"].y, view["Q"].y)


@pytest.mark.parametrize("keyway", ["top", "right", "bottom", "left"])
@pytest.mark.parametrize("latch", ["top", "right", "bottom", "left"])
def test_a_latch_is_open_and_longer_than_the_keyway_on_its_own_side(two_wire, keyway, latch):
    """Read from the SVG: both touch the shell from outside, and neither hides the other."""
    connector = next(iter(two_wire.harness.connectors.values()))
    plug = Plug(contact="a", rows=[["L", "R"], ["P", "Q"]], keyway=keyway, latch=latch)
    drawing = face(two_wire, replace(connector, plug=plug))
    turned = {"left": "right", "right": "left"}
    for view, shell in enumerate(shapes(drawing, "rect", "shell")):
        for kind, side in (("keyway", keyway), ("latch", latch)):
            there = turned.get(side, side) if view else side
            assert side_of(box_of(shell), box_of(shapes(drawing, "rect", kind)[view])) == there
    bars = {kind: box_of(shapes(drawing, "rect", kind)[0]) for kind in ("keyway", "latch")}
    assert max(bars["keyway"].w, bars["keyway"].h) < max(bars["latch"].w, bars["latch"].h)
    assert drawing.svg.index('class="latch"') < drawing.svg.index('class="keyway"')


def test_a_plug_without_a_latch_has_none_drawn(two_wire):
    connector = next(iter(two_wire.harness.connectors.values()))
    plain = connector.plug.model_copy(update={"latch": None})
    drawing = face(two_wire, replace(connector, plug=plain))
    assert not shapes(drawing, "rect", "latch")


def box_of(shape) -> Box:
    return Box(*(float(shape.get(name)) for name in ("x", "y", "width", "height")))


def side_of(shell: Box, bar: Box) -> str:
    """On which side of a shell a bar touches it from outside."""
    touching = {
        "top": abs(bar.bottom - shell.y),
        "bottom": abs(bar.y - shell.bottom),
        "left": abs(bar.right - shell.x),
        "right": abs(bar.x - shell.right),
    }
    (side,) = [side for side, gap in touching.items() if gap < 0.01]
    return side


def named(drawing, letters: str) -> list:
    """(cavity, box of its name) of both views."""
    return [(t.text, t.box) for t in letterings(drawing) if t.text in letters]


@pytest.mark.parametrize(
    "plug",
    [
        Plug(contact="a", rows=[[str(n + 40 * row) for n in range(40)] for row in range(3)]),
        Plug(contact="a", rows=[[str(n + 26 * row) for n in range(26)] for row in range(3)]),
        Plug(
            contact="a",
            rings=[[str(n + 100 * ring) for n in range(12 * ring)] for ring in range(1, 5)],
        ),
        Plug(contact="a", rows=[["A"]]),
    ],
    ids=["120 in rows", "78 in rows", "120 in rings", "single"],
)
def test_large_and_small_plugs_fit_the_page(two_wire, plug):
    connector = next(iter(two_wire.harness.connectors.values()))
    drawing = face(two_wire, replace(connector, plug=plug))
    assert faults(drawing) == []
    assert drawing.width_mm <= 170 and drawing.height_mm <= 250
    for kinds in (("empty", "wire"), ("hole", "contact")):
        drawn = sum(len(shapes(drawing, "circle", kind)) for kind in kinds)
        assert drawn == len(cavity_places(plug))
    assert set(cavity_places(plug)) <= {t.text for t in letterings(drawing)}


@pytest.mark.parametrize("keyway", ["top", "bottom"])
def test_a_face_takes_no_more_height_than_it_draws(two_wire, keyway):
    """Blocks of small plugs fill pages: what is blank under a shell is paper."""
    connector = next(iter(two_wire.harness.connectors.values()))
    plug = Plug(contact="a", rows=[[pin.cavity or pin.name for pin in connector.pins]])
    drawing = face(two_wire, replace(connector, plug=replace_side(plug, keyway)))
    drawn = [box_of(e) for kind in ("shell", "keyway") for e in shapes(drawing, "rect", kind)]
    assert drawing.height_mm - max(box.bottom for box in drawn) == pytest.approx(0.6, abs=0.01)


@pytest.mark.parametrize(("cavities", "apart"), [(2, 3.4), (9, 0.0)])
def test_a_wide_shell_has_its_side_told_in_one_line(two_wire, cavities, apart):
    """Two lines cost a page of faces a good part of itself; small ones stand beside their table."""
    connector = next(iter(two_wire.harness.connectors.values()))
    names = [f"cavity-{n}" for n in range(cavities)]
    drawing = face(two_wire, replace(connector, plug=Plug(contact="a", rows=[names])))
    told = {which: [t.box for t in letterings(drawing) if t.text == which] for which in SIDE}
    start, side = (min(boxes, key=lambda box: (box.y, box.x)) for boxes in told.values())
    (shell, *_) = (box_of(e) for e in shapes(drawing, "rect", "shell"))
    assert (shell.w >= 60) == (apart == 0.0)
    assert side.bottom - start.bottom == pytest.approx(apart, abs=0.1)
    assert apart or side.x >= start.right


SIDE = "Seen from the", "WIRE SIDE"


def replace_side(plug: Plug, keyway: str) -> Plug:
    """The plug with its keyway there, its latch on top."""
    return plug.model_copy(update={"keyway": keyway, "latch": "top"})
