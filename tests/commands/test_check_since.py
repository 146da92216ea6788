"""`check --since` tells what is new and gone since an earlier copy of the folder."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildbook.cli import main
from tests.conftest import TESTS, in_full

TWO_WIRE = TESTS / "vehicles" / "two-wire"


def run(*words: object):
    return CliRunner().invoke(main, ["check", *(str(word) for word in words)])


@pytest.fixture(scope="module")
def slipped(tmp_path_factory) -> Path:
    """The two-wire vehicle with its run a hundredth as long as it is."""
    car = tmp_path_factory.mktemp("slipped") / "car"
    shutil.copytree(in_full(TWO_WIRE), car)
    text = (car / "vehicle.yaml").read_text()
    assert text.count("length: 2.4 m") == 1
    (car / "vehicle.yaml").write_text(text.replace("length: 2.4 m", "length: 24 mm"))
    return car


def test_what_a_change_brought_is_printed_and_nothing_else(slipped):
    ended = run(slipped, "--since", TWO_WIRE)
    lines = [line for line in ended.stdout.splitlines() if not line.startswith("    ")]
    assert any("[run-unlikely]" in line and "24 mm long" in line for line in lines)
    assert not any("[part-missing]" in line for line in lines)
    assert " new, " in lines[-1] or " new, " in lines[-2]


def test_what_a_mend_took_away_is_printed_as_gone(slipped):
    ended = run(TWO_WIRE, "--since", slipped)
    gone = [line for line in ended.stdout.splitlines() if ": gone: " in line]
    assert any("[run-unlikely]" in line for line in gone)


def test_as_json_both_are_lists(slipped):
    found = json.loads(run(slipped, "--since", TWO_WIRE, "--format", "json").stdout)
    assert "run-unlikely" in {row["rule"] for row in found["new"]}
    assert len(found["findings"]) > len(found["new"])
    assert isinstance(found["gone"], list)


def test_as_json_both_lists_hold_what_is_asked_for(slipped):
    words = ("--since", TWO_WIRE, "--format", "json", "--rule", "run-unlikely")
    found = json.loads(run(slipped, *words).stdout)
    assert {row["rule"] for row in found["new"]} == {"run-unlikely"}
    assert {row["rule"] for row in found["gone"]} <= {"run-unlikely"}


def test_the_vehicle_itself_is_refused():
    ended = run(TWO_WIRE, "--since", TWO_WIRE)
    assert ended.exit_code == 2
    assert "is the vehicle itself" in ended.output and "hint: " in ended.output


def test_a_copy_that_cannot_be_read_is_told_with_its_problems(tmp_path):
    car = tmp_path / "car"
    shutil.copytree(TWO_WIRE, car)
    text = (car / "vehicle.yaml").read_text()
    (car / "vehicle.yaml").write_text(text.replace("devices:", "devises:", 1))
    ended = run(TWO_WIRE, "--since", car)
    assert ended.exit_code == 2
    assert "devises" in ended.output and "its description has problems" in ended.output
    assert "hint: " in ended.output


def test_a_folder_that_is_not_there_is_wrong_usage():
    assert run(TWO_WIRE, "--since", "nowhere-at-all").exit_code == 2
