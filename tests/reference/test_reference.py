"""The reference tells all there is: sections, keys, rules, and every key that comes out as data."""

from __future__ import annotations

import csv
import io
import json
import re
import shlex
from typing import Any

import pytest
from click.testing import CliRunner

from buildbook.as_built.model import AsBuilt
from buildbook.calculators.registry import CALCULATORS, calculator
from buildbook.checks.registry import RULES
from buildbook.cli import main
from buildbook.description import models
from buildbook.description.quantities import EXAMPLES
from buildbook.export.files import export_files
from buildbook.export.results import results
from buildbook.export.supply import output_rows
from buildbook.reference.keys import key_list, takes
from buildbook.reference.topics import SECTIONS, TOPICS, section
from tests.faultfinding.test_outputs_that_trip import TRIPS, with_module
from tests.once import drawings_of
from tests.reference.pages import held, keys_in, last_keys, printed, told


def test_the_list_teaches_every_topic_and_every_section():
    listed = printed()
    for topic in TOPICS:
        assert re.search(rf"^{topic.name} +{re.escape(topic.teaches)}$", listed, re.MULTILINE)
    assert set(SECTIONS) <= set(re.findall(r"\w+", listed))


@pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: topic.name)
def test_a_topic_prints_a_page_with_a_title(topic):
    assert printed(topic.name).startswith("# ")


def test_a_topic_that_is_not_there_is_told_with_the_one_that_was_meant():
    ended = CliRunner().invoke(main, ["reference", "ruels"])
    assert ended.exit_code == 2
    assert "did you mean `rules`?" in ended.output


def test_every_rule_is_listed_once_with_its_severities_and_its_source():
    rows = [
        line.strip("| ").split(" | ") for line in printed("rules").splitlines() if "| `" in line
    ]
    listed = {row[0].strip("`"): row[1:] for row in rows}
    assert len(listed) == len(rows) == len(RULES)
    for rule in RULES:
        severities, finds, source = listed[rule.id]
        assert severities == " or ".join(rule.severities)
        assert f"Finds {finds}." == rule.finds
        assert source == rule.source


def models_below(schema: dict[str, Any]) -> dict[str, list[str]]:
    """Model -> its keys, of all models that a schema knows."""
    return {name: list(node["properties"]) for name, node in schema["$defs"].items()}


def test_every_section_stands_in_the_description_under_a_heading():
    page = printed("description")
    assert re.findall(r"^## (.+)$", page, re.MULTILINE) == list(models.Description.model_fields)
    for name in SECTIONS:
        assert section(name) in page
        assert printed(name).strip() == section(name)


def below(text: str, key: str) -> list[list[str]]:
    """The keys that stand one step below each item of that name."""
    found = []
    lines = text.splitlines()
    for number, line in enumerate(lines):
        if item := re.match(rf"( *)- `{re.escape(key)}`:", line):
            depth, inner = len(item[1]), []
            for other in lines[number + 1 :]:
                indent = len(other) - len(other.lstrip())
                if indent <= depth:
                    break
                if indent == depth + 2 and (named := re.match(r" *- `([^`]+)`:", other)):
                    inner.append(named[1])
            found.append(inner)
    return found


@pytest.mark.parametrize("model", [models.Description, AsBuilt])
def test_every_key_of_every_model_is_listed_below_the_key_that_holds_it(model):
    schema, text = model.model_json_schema(by_alias=True), key_list(model)
    keys = models_below(schema)
    nodes = [schema, *(node for name, node in schema["$defs"].items() if name != "When")]
    for node in nodes:
        for key, value in node["properties"].items():
            inside = re.findall(r"#/\$defs/(\w+)", json.dumps(value))
            wanted = [k for name in inside if name != "When" for k in keys[name]]
            assert wanted in below(text, key), key


def test_states_are_told_as_they_are_written():
    assert set(models.When.model_fields) == {"states", "except_"}
    said = takes(models.Draw.model_json_schema()["properties"]["in"])
    assert "`all`" in said and "`{except: [STATE]}`" in said


def test_what_stands_in_a_model_about_a_key_is_told_with_its_default():
    vehicle = " ".join(section("vehicle").split())
    assert (
        "`drop`: as `30 %` or `0.3`; default 3 %. Allowed drop of an ordinary load, feed and return"
        in vehicle
    )
    assert "`paper`: one of `A4`, `Letter`; default A4." in vehicle
    assert "`date`: date as `2026-02-20`; required." in vehicle
    assert "`service loop`: as `640 mm` or `9 in`; default 0.02 m. At every terminal" in vehicle


def test_a_list_that_one_may_stand_for_says_so():
    devices = section("devices")
    assert "`draws`: one or a list of: these keys" in devices
    assert "`unused`: list of: name" in devices


def test_every_kind_of_quantity_is_shown():
    page = printed("description")
    for example in EXAMPLES.values():
        assert f"- {' or '.join(f'`{text}`' for text in example.split(' or '))}\n" in page


def test_results_lists_every_key_of_the_results_and_no_other(lapwing, tmp_path):
    page = printed("results").partition("\n## CSV tables")[0]
    of_outputs = {"outputs": output_rows(with_module(tmp_path, TRIPS))}
    keys = held(json.loads(json.dumps(results(lapwing) | of_outputs)))
    assert told(page) == keys


def test_calc_lists_every_key_that_calculators_print_and_no_other():
    found: set[str] = set()
    for name in CALCULATORS:
        words = shlex.split(f"calc {name} {calculator(name).example} --json")
        data = json.loads(CliRunner().invoke(main, words).output)
        for given in data["inputs"].values():
            given["value"] = None
        for step in data["steps"]:
            assert {"value", "unit"} == set(step["result"]) == set().union(*step.pop("numbers"))
            step["numbers"] = step["result"] = None
        found |= held(data | {"result": dict.fromkeys(data["result"])})
    assert told(printed("calc")) == last_keys(found)


def test_results_lists_every_table_and_its_columns(lapwing):
    above, _, tables = printed("results").partition("\n## CSV tables")
    rows = dict(re.findall(r"^\| `(.+?\.csv)` \| (.+) \|$", tables, re.MULTILINE))
    files = export_files(lapwing, drawings_of(lapwing).every())
    written = {name: text for name, text in files.items() if name.endswith(".csv")}
    assert set(rows) == set(written)
    for name, text in written.items():
        columns = next(csv.reader(io.StringIO(text)))
        if rows[name].startswith("those of "):
            whole = keys_in(rows[name])[0]
            under = {p.removeprefix(f"{whole}.") for p in told(above) if p.startswith(f"{whole}.")}
            assert set(columns) == under, name
        else:
            assert columns == keys_in(rows[name]), name
