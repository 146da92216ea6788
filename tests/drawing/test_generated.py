"""Every drawing of thirty made-up vehicles can be read, and every wire ends at its own pins."""

from __future__ import annotations

import pytest

from buildbook.book.drawings import Drawings
from tests.drawing.ends import end_faults
from tests.drawing.faces.test_mates import check_every_pair
from tests.drawing.generated import LOADS, description, worked_out, write
from tests.drawing.legible import faults_of
from tests.drawing.made_up_shapes import SHAPES
from tests.once import schematics_in


@pytest.fixture(scope="module", params=SHAPES, ids=lambda shape: shape.name)
def made_up(request, tmp_path_factory):
    """A shape, a vehicle of it and its drawings."""
    shape = request.param
    result = worked_out(write(shape, tmp_path_factory.mktemp("made-up") / "vehicle"))
    return shape, result, Drawings(result)


def test_no_drawing_of_a_made_up_vehicle_has_a_fault(made_up):
    _, _, drawings = made_up
    assert {d.name: f for d in drawings.every() if (f := faults_of(d.svg))} == {}


def test_every_wire_of_a_made_up_vehicle_is_drawn_once_between_its_own_pins(made_up):
    _, result, drawings = made_up
    assert end_faults(result, schematics_in(drawings, result)) == []


def test_every_pair_of_a_made_up_vehicle_mates(made_up):
    shape, result, _ = made_up
    assert check_every_pair(result) == shape.harnesses - 1


def test_there_are_thirty_and_the_greatest_are_as_great_as_they_say(tmp_path):
    assert len({shape.name for shape in SHAPES}) == 30
    written = {shape.name: description(shape) for shape in SHAPES}
    assert sum(d["kind"] in LOADS for d in written["one load"]["devices"].values()) == 1
    assert len(written["300 circuits"]["circuits"]) >= 300
    ecu = written["controller of 80 pins"]["devices"]["ecu-1"]
    assert len(ecu["pins"]) == 80
    devices = written["a system of 60"]["devices"].values()
    assert sum(d["kind"] not in ("ground", "fuse", "panel") for d in devices) >= 60
    longest = max(len(p) for c in written["long names"]["circuits"].values() for p in c["join"])
    assert longest >= 57
