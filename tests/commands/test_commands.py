"""The commands as a user meets them: exit codes, messages, nothing half written."""

from __future__ import annotations

import csv
import io
import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildbook.cli import main
from buildbook.figures import squared
from tests.conftest import TESTS
from tests.vehicle.test_mistakes import GOOD, MISTAKES, write

TWO_WIRE = TESTS / "vehicles" / "two-wire"


def run(*words: str):
    return CliRunner().invoke(main, [str(word) for word in words])


def test_help_teaches_how_to_begin():
    said = run("--help").output
    assert "buildbook new" in said and "Exit codes" in said


def test_an_empty_folder_says_what_is_missing_and_writes_nothing(tmp_path):
    (tmp_path / "car").mkdir()
    ended = run("make", tmp_path / "car", "--out", tmp_path / "out")
    assert ended.exit_code == 1
    assert "vehicle.yaml" in ended.output
    assert not (tmp_path / "out").exists()


def test_a_folder_that_is_not_there_is_wrong_usage():
    assert run("check", "nowhere-at-all").exit_code == 2


def test_a_typo_is_located_and_nothing_is_written(tmp_path):
    car = tmp_path / "car"
    shutil.copytree(TWO_WIRE, car)
    text = (car / "vehicle.yaml").read_text()
    (car / "vehicle.yaml").write_text(text.replace("devices:", "devises:", 1))
    ended = run("make", car, "--out", tmp_path / "out")
    line = text[: text.index("devices:")].count("\n") + 1
    assert ended.exit_code == 1
    assert f"vehicle.yaml:{line}:" in ended.output
    assert "devices" in ended.output and "Traceback" not in ended.output
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("name", MISTAKES)
def test_every_mistake_ends_with_one_and_nothing_written(tmp_path, name):
    old, new, what, _hint = MISTAKES[name]
    car = tmp_path / "car"
    car.mkdir()
    write(car, GOOD.replace(old, new, 1))
    ended = run("make", car, "--out", tmp_path / "out")
    assert ended.exit_code == 1
    assert squared(what) in ended.output and "nothing was written" in ended.output
    assert isinstance(ended.exception, SystemExit)
    assert not (tmp_path / "out").exists()


def test_the_starter_has_no_problems_and_no_error(tmp_path):
    car = tmp_path / "car"
    assert run("new", car).exit_code == 0
    ended = run("check", car)
    assert ended.exit_code == 0, ended.output


def test_new_refuses_a_folder_that_holds_something(tmp_path):
    (tmp_path / "kept.txt").write_text("mine")
    assert run("new", tmp_path).exit_code == 2
    assert [p.name for p in tmp_path.iterdir()] == ["kept.txt"]


def test_check_as_json_is_json(tmp_path):
    ended = CliRunner().invoke(main, ["check", str(TWO_WIRE), "--format", "json"])
    found = json.loads(ended.stdout)
    assert found["problems"] == []


def test_check_as_json_prints_the_findings_that_are_asked_for():
    every, chosen, none = (
        json.loads(run("check", TWO_WIRE, "--format", "json", *words).stdout)["findings"]
        for words in ((), ("--rule", "part-missing"), ("--about", "lamp"))
    )
    assert {row["rule"] for row in chosen} == {"part-missing"} != {row["rule"] for row in every}
    assert none == []


def test_export_writes_json_tables_drawings_and_a_netlist_a_state(tmp_path, two_wire):
    out = tmp_path / "data"
    assert run("export", TWO_WIRE, "--out", out).exit_code in (0, 1)
    results = json.loads((out / "results.json").read_text())
    assert {w["id"] for w in results["wires"]} == set(two_wire.harness.wires)
    rows = list(csv.DictReader(io.StringIO((out / "wires.csv").read_text())))
    assert len(rows) == len(two_wire.harness.wires)
    assert len(list((out / "network").glob("*.cir"))) == len(two_wire.vehicle.states)
    assert list((out / "drawings").glob("*.svg"))


def test_export_refuses_a_folder_that_holds_something(tmp_path):
    (tmp_path / "kept.txt").write_text("mine")
    assert run("export", TWO_WIRE, "--out", tmp_path).exit_code == 2


@pytest.mark.parametrize("module", ["weasyprint"])
def test_check_does_not_import_the_page_maker(module: str):
    code = (
        "import sys; from click.testing import CliRunner; from buildbook.cli import main;"
        f"CliRunner().invoke(main, ['check', {str(TWO_WIRE)!r}]);"
        f"sys.exit({module!r} in sys.modules)"
    )
    ended = subprocess.run([sys.executable, "-c", code], cwd=Path(TESTS).parent, check=False)
    assert ended.returncode == 0
