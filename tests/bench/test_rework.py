"""After `record`: an untouched car is silent, and what is added later is all that is handed on."""

from __future__ import annotations

import pytest
import yaml

from buildbook.as_built.text import as_built_text
from buildbook.bench.build_sheet import build_sheet
from buildbook.checks.rules import as_built as rule
from buildbook.harness.laid_lines import laid_lines
from buildbook.harness.places import FLAT
from buildbook.sizing.as_built import as_built_now
from buildbook.sizing.finished_runs import outside_mm
from tests.drawing.generated import Shape, description, worked_out

SHAPE = Shape("to rework", loads=9, systems=2, relays=0.2)


def folder_of(tmp_path, name: str, data: dict, record: str = ""):
    folder = tmp_path / name
    folder.mkdir()
    (folder / "vehicle.yaml").write_text(yaml.safe_dump(data, sort_keys=False))
    if record:
        (folder / "as-built.yaml").write_text(record)
    return folder


@pytest.fixture
def before_and_after(tmp_path):
    """A twisted vehicle as it was built, untouched, and with a lamp added since."""
    data = description(SHAPE)
    data["rope"]["h0"]["layup"] = "concentric"
    first = worked_out(folder_of(tmp_path, "first", data))
    record = as_built_text(as_built_now(first.vehicle, first.harness, first.sizing))
    same = worked_out(folder_of(tmp_path, "same", data, record))
    place, ground = "t00a", "G1"
    data["devices"]["late-lamp"] = {
        "kind": "lamp",
        "name": "Late lamp",
        "system": "system-1",
        "at": place,
        "pins": {"1": "feed", "2": "return"},
        "draws": {"amps": "1 A"},
        "plug": "sealed-2",
    }
    data["devices"]["F99"] = {
        "kind": "fuse",
        "name": "Fuse 99",
        "system": "system-1",
        "on": "panel",
        "bus": "B",
        "slot": 99,
    }
    data["circuits"]["late feed"] = {"join": ["F99.out", "late-lamp.1"], "system": "system-1"}
    data["circuits"]["late return"] = {"join": ["late-lamp.2", ground], "system": "system-1"}
    return first, same, worked_out(folder_of(tmp_path, "more", data, record))


def sheet_of(result):
    return build_sheet(result.vehicle, result.harness, result.sizing, result.finished_runs, "h0")


def test_an_untouched_car_gives_no_finding_after_record(before_and_after):
    _, same, _ = before_and_after
    assert [finding.what for finding in rule.check(same)] == []
    rework = sheet_of(same).rework
    assert rework and not rework.is_needed


def test_only_what_is_new_is_handed_on_and_it_lies_outside_the_old_twist(before_and_after):
    first, _, more = before_and_after
    rework = sheet_of(more).rework
    circuits = {more.harness.wires[wire].circuit for wire in rework.new}
    assert circuits == {"late feed", "late return"}
    assert rework.gone == () and rework.changed == ()
    assert "late-lamp" in rework.plugs
    assert rework.left == len([w for w in first.harness.wires.values() if w.harness == "h0"])
    old, new = (
        laid_lines(r.vehicle, r.harness, outside_mm(r.vehicle, r.sizing), "h0")
        for r in (first, more)
    )
    laid = {held: name for line in new for held, name in layers(line).items()}
    beside = {line.line.runs for line in old if line.stays}
    late = {held: name for held, name in laid.items() if held[1] in rework.new}
    assert late and all(name == FLAT for held, name in late.items() if held[0] in beside)
    kept = {held: name for line in old for held, name in layers(line).items()}
    assert kept and all(laid[held] == name for held, name in kept.items())


def test_a_wire_that_goes_is_told_by_the_plugs_and_studs_that_it_is_taken_out_of(tmp_path):
    """As its ends were named when it was built: by their connectors, or pins of studs."""
    data = description(SHAPE)
    first = worked_out(folder_of(tmp_path, "first", data))
    record = as_built_text(as_built_now(first.vehicle, first.harness, first.sizing))
    circuit = "circuit 4"
    assert data["circuits"].pop(circuit)["join"] == ["motor-0.2", "G1"]
    rework = sheet_of(worked_out(folder_of(tmp_path, "less", data, record))).rework
    gone = [w for w in first.harness.wires.values() if w.circuit == circuit]
    assert set(rework.gone) == {w.id for w in gone}
    ends = [e for w in gone for e in (w.a, w.b) if e.kind in ("pin", "half")]
    assert {bool(e.connector) for e in ends} == {True, False}
    assert set(rework.plugs) == {e.connector or e.node for e in ends}


def layers(line) -> dict[tuple[tuple[str, ...], str], str]:
    """(line, wire) -> its layer."""
    return {
        (line.line.runs, wire): layer.ring.name
        for layer in line.laying.layers
        for place in layer.places
        for stay in place.stays
        for wire in stay.strand.wires
    }
