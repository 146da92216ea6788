"""`buildbook record` as a user meets it: nothing that was built changes unsaid."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from buildbook.description.read import AS_BUILT
from buildbook.files.writing import write_file
from buildbook.pipeline import work_out
from tests.commands.test_commands import run
from tests.conftest import TESTS

TWO_WIRE = TESTS / "vehicles" / "two-wire"


@pytest.fixture
def car(tmp_path: Path) -> Path:
    return shutil.copytree(TWO_WIRE, tmp_path / "car")


def change(car: Path, old: str, new: str) -> None:
    path = car / "vehicle.yaml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


MARKER = """\
  marker:
    kind: lamp
    at: tail
    system: lighting
    plug: sealed-2
    pins: {1: feed, 2: return}
    draws: {amps: 0.2 A, at: 13.5 V, what: the marker lights}
  F2: {kind: fuse, "on": panel, bus: B, slot: 2, system: lighting}
"""
MARKED = """\
  marker feed: {join: [F2.out, marker.1], system: lighting}
  marker return: {join: [marker.2, G1], system: lighting}
"""


def test_recording_twice_gives_the_same_bytes_and_leaves_the_file_alone(car: Path) -> None:
    assert run("record", car).exit_code == 0
    first = (car / AS_BUILT).read_bytes()
    ended = run("record", car)
    assert ended.exit_code == 0 and "says this already" in ended.output
    assert (car / AS_BUILT).read_bytes() == first
    (car / AS_BUILT).unlink()
    run("record", car)
    assert (car / AS_BUILT).read_bytes() == first
    assert [path.name for path in car.iterdir() if path.name.startswith(".")] == []


def test_new_circuits_are_told_and_kept_apart_until_the_rework(car: Path) -> None:
    run("record", car)
    first = (car / AS_BUILT).read_bytes()
    change(car, "circuits:\n", "circuits:\n" + MARKED)
    change(car, "  G1: {kind", MARKER + "  G1: {kind")
    ended = run("record", car)
    assert ended.exit_code == 1 and (car / AS_BUILT).read_bytes() == first
    assert "marker feed: added" in ended.output and "--rework" in ended.output
    checked = run("check", car).output
    assert "'marker feed' is new: wire 105 to be laid in" in checked and "[as-built]" in checked
    assert run("record", car, "--rework").exit_code == 0
    second = (car / AS_BUILT).read_text(encoding="utf-8")
    assert set(first.decode().splitlines()) < set(second.splitlines())
    assert "[as-built]" not in run("check", car).output


@pytest.mark.parametrize(
    ("amps", "says"), [("16 A", "is on a path that loses"), ("38 A", "mm2 now")]
)
def test_a_size_as_built_stays_and_is_judged(car: Path, amps: str, says: str) -> None:
    run("record", car)
    before, _ = work_out(car)
    change(car, "amps: 4.1 A", f"amps: {amps}")
    after, problems = work_out(car)
    assert before and after, problems
    assert {w: s.label for w, s in after.sizing.wires.items()} == {
        w: s.label for w, s in before.sizing.wires.items()
    }
    told = {f.about: f.text for f in after.findings if f.rule == "as-built"}
    assert "wire 103 of" in told["lamp feed"] and says in told["lamp feed"]
    assert before.sizing.wires["103"].governing == "as built"


def test_a_circuit_taken_out_is_told_where_the_record_is(car: Path) -> None:
    change(car, "circuits:\n", "circuits:\n" + MARKED)
    change(car, "  G1: {kind", MARKER + "  G1: {kind")
    run("record", car)
    change(car, MARKED, "")
    said = run("check", car).output
    assert f"{AS_BUILT}:1:1: warning" in said
    assert "'marker feed' is no longer described: wire 101 to be taken out" in said


def test_a_broken_record_stops_every_command(car: Path) -> None:
    (car / AS_BUILT).write_text("revision: A\ncircuits:\n  lamp feed: {number: x}\n")
    for command in ("check", "record"):
        ended = run(command, car)
        assert ended.exit_code == 1 and f"{AS_BUILT}:3:" in ended.output


def test_a_record_that_leads_outside_is_not_read(car: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.yaml").write_text("revision: A\ncircuits: {}\n")
    (car / AS_BUILT).symlink_to(tmp_path / "secret.yaml")
    ended = run("check", car)
    assert ended.exit_code == 1 and "outside the vehicle folder" in ended.output


def test_a_write_that_fails_leaves_the_old_file_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / AS_BUILT
    target.write_text("old")

    def refuse(*_: object) -> None:
        raise OSError("disk full")

    monkeypatch.setattr("os.replace", refuse)
    with pytest.raises(OSError, match="disk full"):
        write_file(target, b"new")
    assert target.read_text() == "old" and [p.name for p in tmp_path.iterdir()] == [AS_BUILT]
