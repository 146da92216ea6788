"""`new` asks or takes flags, and `check` lists what is to be filled in."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from buildbook.begin.answers import SYSTEMS
from buildbook.cli import main
from buildbook.description.read import read_folder
from buildbook.description.to_do import to_do_in


def run(*args, typed=None):
    return CliRunner().invoke(main, [str(arg) for arg in args], input=typed)


def read(folder):
    contents, problems = read_folder(folder)
    assert problems == []
    return contents.description


def test_without_a_terminal_and_without_flags_it_is_the_starter(tmp_path):
    told = run("new", tmp_path / "car")
    assert told.exit_code == 0 and "Next: buildbook make" in told.output
    assert read(tmp_path / "car").vehicle.name == "Starter"


def test_flags_are_taken_and_the_rest_is_as_usual(tmp_path):
    folder = tmp_path / "hill-car"
    words = ("--volts", 24, "--systems", "pump horn", "--currency", "gbp", "--language", "de")
    told = run("new", folder, *words)
    assert told.exit_code == 0
    made = read(folder)
    assert (made.vehicle.name, made.vehicle.nominal) == ("Hill car", 24)
    assert (made.vehicle.currency, made.vehicle.paper) == ("GBP", "A4")
    assert made.vehicle.language == "de"
    assert {"fuel-pump", "horn"} <= set(made.devices)
    assert not {"starter", "alternator", "ecu"} & set(made.devices)


def test_questions_come_one_at_a_time_with_default_and_reason(tmp_path):
    systems = ["n"] * 4 + ["y"] + ["n"] * 5  # no data bus is asked for without a controller
    typed = "\n".join(["Tern", "12", "", "3", *systems, "inch", "Letter", "USD", "modules", ""])
    told = run("new", tmp_path / "car", "--ask", typed=typed)
    assert told.exit_code == 0, told.output
    assert "How many cylinders?\n  So many coils and injectors are written." in told.output
    assert "[4]" in told.output and "no data bus" in told.output
    vehicle = read(tmp_path / "car").vehicle
    assert (vehicle.name, vehicle.paper, vehicle.currency) == ("Tern", "Letter", "USD")
    assert "module" in read(tmp_path / "car").devices


def test_a_wrong_answer_is_asked_again_and_enter_takes_the_default(tmp_path):
    typed = "\n".join(["", "13", "6", "", "", *["n"] * 9, "", "", "money", ""] + [""] * 3)
    told = run("new", tmp_path / "old-bike", "--ask", typed=typed)
    assert told.exit_code == 0, told.output
    assert "'13' is not one of" in told.output and "no injection: " in told.output
    assert "three letters, as in EUR or USD" in told.output
    assert "solid-state" not in told.output
    assert read(tmp_path / "old-bike").vehicle.nominal == 6


def test_where_the_answers_end_nothing_is_written(tmp_path):
    told = run("new", tmp_path / "car", "--ask", typed="Tern\n12\n")
    assert told.exit_code == 1 and not (tmp_path / "car").exists()


@pytest.mark.parametrize(
    ("flags", "said"),
    [
        (["--systems", "lihgts"], "there is no system `lihgts`; did you mean `lights`?"),
        (["--volts", "6", "--systems", "injection"], "no injection: "),
        (["--currency", "euro"], "three letters"),
        (["--cylinders", "0"], "1<=x<=12"),
        (["--small", "--volts", "12"], "--small goes with no other flag"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(flags, said, tmp_path):
    told = run("new", tmp_path / "car", *flags)
    assert told.exit_code == 2 and said in told.output
    assert not (tmp_path / "car").exists()


def test_every_system_stands_in_the_help():
    told = run("new", "--help").output
    assert all(f"{name} " in told for name in SYSTEMS)


def test_a_folder_with_something_in_it_is_left_alone_before_anything_is_asked(tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    told = run("new", tmp_path, "--ask", typed="")
    assert told.exit_code == 2 and "is not empty" in told.output
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_check_lists_what_is_to_do_apart_from_findings(tmp_path):
    run("new", tmp_path / "car", "--systems", "none")
    told = run("check", tmp_path / "car")
    assert told.exit_code == 0
    lines = told.stdout.splitlines()
    asked = [line for line in lines if ": to do: " in line]
    assert f"{len(asked)} places to fill in" in told.stdout
    assert lines[-len(asked) :] == asked and asked[0].startswith("vehicle.yaml:7:")
    as_json = json.loads(run("check", tmp_path / "car", "--format", "json").stdout)
    assert [f"{t['where']}: to do: {t['what']}" for t in as_json["to do"]] == asked


def test_a_mark_in_a_value_is_no_mark_and_an_empty_one_shows_its_line():
    text = (
        "a: 'x # TO DO: no'\nb: |\n  # TO DO: nor this\nc: 1 # TODO\n# TO DO: yes, this\n"
        "d: x#TO DO one word\n"
    )
    found = [(t.where.line, t.where.column, t.what) for t in to_do_in(text, "a.yaml")]
    assert found == [(4, 6, "c: 1"), (5, 1, "yes, this")]
