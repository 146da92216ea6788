"""What all calculators share: help that runs, units, JSON, mistakes."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.calculators.registry import CALCULATORS, calculator
from buildbook.figures import squared
from tests.calculators.run import result_of, run

ALL = pytest.mark.parametrize("name", CALCULATORS)
EXAMPLE = re.compile(r"^ +buildbook calc ((?:.*\\\n)*.*)$", re.MULTILINE)


def examples(text: str) -> list[str]:
    return [re.sub(r"\\\n +", "", found) for found in EXAMPLE.findall(text)]


def test_calc_alone_lists_every_calculator_with_an_example_that_runs():
    said = run("")
    assert said.exit_code == 0
    found = examples(said.output)
    assert [words.split()[0] for words in found] == list(CALCULATORS)
    for words in found:
        assert run(words).exit_code == 0, words


def test_calc_help_says_the_same():
    assert run("--help").output == run("").output


@ALL
def test_the_help_of_each_has_an_example_that_runs(name):
    said = run(f"{name} --help").output
    (example,) = examples(said)
    assert run(example).exit_code == 0
    for asked in calculator(name).inputs:
        assert f"--{asked.name} " in said


@ALL
def test_nothing_printed_is_wider_than_80_columns(name):
    for words in (f"{name} --help", f"{name} {calculator(name).example}", name):
        assert max(len(line) for line in run(words).output.splitlines()) <= 80


@ALL
def test_the_json_of_each_gives_inputs_steps_result_and_source(name):
    said = json.loads(run(f"{name} {calculator(name).example} --json").output)
    assert said["calculator"] == name
    assert said["steps"] and said["result"] and said["source"]
    for row in said["inputs"].values():
        assert set(row) == {"given", "value", "unit", "assumed"}
    for step in said["steps"]:
        assert step["formula"] and step["put in"] and step["source"]
        assert set(step["result"]) == {"value", "unit"}


@ALL
def test_what_is_printed_holds_each_step_and_each_source(name):
    example = f"{name} {calculator(name).example}"
    printed = " ".join(run(example).output.split())
    for step in json.loads(run(f"{example} --json").output)["steps"]:
        assert squared(" ".join(step["put in"].split())) in printed
        assert squared(" ".join(step["source"].split())) in printed


@ALL
def test_what_was_assumed_is_shown_with_its_option(name):
    said = json.loads(run(f"{name} {calculator(name).example} --json").output)
    printed = run(f"{name} {calculator(name).example}").output
    for option, row in said["inputs"].items():
        if row["assumed"]:
            assert re.search(
                rf"^  --{option} +{re.escape(squared(row['given']))}", printed, re.MULTILINE
            )


@ALL
def test_asking_nothing_names_everything_that_is_missing(name):
    ended = run(name)
    needed = [i.name for i in calculator(name).inputs if not (i.default or i.optional)]
    assert ended.exit_code == 2
    assert needed or "--outside or --size" in ended.output
    for option in needed:
        assert f"--{option}: it is missing" in ended.output


@ALL
@pytest.mark.parametrize(
    "text",
    [
        "",
        "nonsense",
        "-1e400 A",
        "1,5 A",
        "5",
        "nan",
        "1e9 parsec",
        "0",
        "-3 A",
        "9" * 400,
        "2**9**9 A",
        "AWG 99",
        "½ m",
        "=",
        ",",
    ],
)
def test_bad_input_is_a_message_and_never_a_traceback(name, text):
    for asked in calculator(name).inputs:
        words = re.sub(rf"--{asked.name} .+?(?= --|$)", "", calculator(name).example)
        ended = run(f"{name} {words} --{asked.name}='{text}'")
        assert ended.exit_code in (0, 2), (asked.name, ended.exception)
        if ended.exit_code == 2:
            told = re.findall(r"^--([a-z-]+): ", ended.output, re.MULTILINE)
            assert told and set(told) <= {other.name for other in calculator(name).inputs}
            assert "Nothing was worked out" in ended.output


@ALL
@pytest.mark.parametrize("number", ["1e-300", "1e-9", "1e9", "1e300", "-199", "-1e9"])
def test_extreme_values_are_worked_out_or_refused(name, number):
    for asked in calculator(name).inputs:
        words = re.sub(rf"--{asked.name} .+?(?= --|$)", "", calculator(name).example)
        unit = {"1": "%", "": "mm"}.get(asked.reader.unit, asked.reader.unit)
        ended = run(f"{name} {words} --{asked.name}='{number} {unit}'")
        assert ended.exit_code in (0, 2), (asked.name, ended.exception)
        assert not re.search(r"\b(inf|nan)\b", ended.output), asked.name


def test_every_command_of_the_readme_runs():
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    found = re.findall(r"^\.venv/bin/buildbook calc ([^#\n]*?) *(?:#.*)?$", readme, re.MULTILINE)
    assert len(found) > 3
    for words in found:
        assert run(words).exit_code == 0, words


def test_lists_are_lists_in_the_json():
    said = json.loads(run("bundle --wires '3 x AWG 20, 2 x 0.1 in' --json").output)
    first, second = said["inputs"]["wires"]["value"]
    assert (first["count"], first["label"]) == (3, "AWG 20")
    assert second["outside_mm"] == pytest.approx(2.54)


def test_several_mistakes_are_told_at_once_with_why_and_hint():
    ended = run("size --current 0 A --length 5 --wire awg-etf")
    assert ended.exit_code == 2
    for text in (
        "--current: it must be above 0 A",
        "--length: '5' has no unit",
        "did you mean `awg-etfe`",
        "why:",
        "hint: write for example --length 12 ft",
    ):
        assert text in ended.output


def test_mistakes_can_be_had_as_json():
    ended = run("size --current 20 --length 12 ft --json")
    assert ended.exit_code == 2
    (problem,) = json.loads(ended.output)["problems"]
    assert problem["input"] == "current" and "no unit" in problem["what"]


def test_a_misspelt_calculator_is_guessed():
    ended = run("sise --current 2 A")
    assert ended.exit_code == 2 and "did you mean `size`" in ended.output


def test_a_misspelt_option_is_guessed():
    ended = run("size --curent 2 A --length 2 m")
    assert ended.exit_code == 2 and "--current" in ended.output


@pytest.mark.parametrize(
    "words",
    [
        "--current 20 A",
        "--current '20 A'",
        "--current 20A",
        "--current=20A",
        "--current=20 A",
        "--current 20000 mA",
    ],
)
def test_a_value_may_be_quoted_or_not(words):
    said = result_of(f"size {words} --length 12 ft")
    assert said == result_of("size --current '20 A' --length '12 ft'")


def test_a_length_may_be_feet_and_inches():
    """By hand: 7 ft 2.5 in are 86.5 in."""
    words = "slack --from cap --to cap --length"
    assert result_of(f"{words} 7 ft 2.5 in") == pytest.approx(result_of(f"{words} 86.5 in"))


def same(first: dict, second: dict) -> bool:
    return all(
        value == pytest.approx(second[name], rel=1e-9)
        if isinstance(value, float)
        else value == second[name]
        for name, value in first.items()
    )


@settings(max_examples=25, deadline=None)
@given(feet=st.integers(1, 60), fahrenheit=st.integers(-40, 180), amps=st.integers(1, 15))
def test_units_make_no_difference(feet, fahrenheit, amps):
    metric = (
        f"drop --current '{amps * 1000} mA' --length '{feet * 304.8:.10g} mm' --size 'AWG 12' "
        f"--ambient '{(fahrenheit - 32) / 1.8:.12g} degC' --altitude '3048 m'"
    )
    other = (
        f"drop --current {amps} A --length {feet} ft --size AWG 12 "
        f"--ambient '{fahrenheit} degF' --altitude 10000 ft"
    )
    assert same(result_of(metric), result_of(other))


def test_an_answer_is_shown_in_feet_too_where_feet_were_written():
    words = "length --current 20 A --size AWG 10 --allow 1 V"
    assert re.search(r"longest run +[\d.]+ m = [\d.]+ ft", run(f"{words} --ambient 68 degF").output)
    metric = run("length --current 20 A --size '2.5 mm2' --allow 1 V").output
    assert " ft" not in metric
    assert " ft" not in run("length --current 20 A --size 2.5 mm2 --wire thin-wall").output


def test_calc_does_not_load_what_makes_the_book():
    code = (
        "import sys; from buildbook.cli import main\n"
        "try: main(['calc'])\nexcept SystemExit: pass\n"
        "print([m for m in ('weasyprint', 'svgwrite', 'jinja2', 'pypdf') "
        "if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
