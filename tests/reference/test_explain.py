"""`explain` tells what one word of the description means."""

from __future__ import annotations

from copy import copy

import pytest
from click.testing import CliRunner
from pydantic import ValidationError, create_model

from buildbook.cli import main
from buildbook.description.expand.kinds import built_in
from buildbook.description.models import Description, Section
from buildbook.description.models.devices import BASE_KINDS
from buildbook.description.yaml_reader import plain, read_yaml
from buildbook.reference.explained import LISTS, explained, known
from buildbook.reference.keys import places


def told(*words: str) -> str:
    ended = CliRunner().invoke(main, ["explain", *words])
    assert ended.exit_code == 0, ended.output
    return ended.output


@pytest.mark.parametrize("path", [("waivers", "about"), ("waivers.about",)])
def test_a_path_may_be_written_with_dots(path):
    text = told(*path)
    assert text.startswith("waivers › about") and "example: `about: brake-switch`" in text


def test_dots_alone_are_no_key():
    ended = CliRunner().invoke(main, ["explain", "."])
    assert ended.exit_code == 2 and "nothing in the description is called `.`" in ended.output


def test_a_key_is_told_wherever_it_stands_with_unit_default_and_example():
    text = told("drop")
    assert "vehicle › drop" in text and "circuits › drop" in text
    assert "default 3 %" in text and "example: `drop: 12 V`" in text


def test_keys_before_it_choose_among_its_places():
    text = told("gives", "inductive", "volts")
    assert text.startswith("devices › gives › inductive › volts")
    assert "Root mean square" in text and "example: `volts: 12 V`" in text
    assert "›" not in text.split("\n", 1)[1]


def test_a_kind_is_told_with_what_it_brings_and_where_that_comes_from():
    text = told("radiator", "fan")
    assert "amps: 10 A" in text and "common practice, no source" in text


@pytest.mark.parametrize("name", LISTS)
def test_the_lists_are_told(name):
    text = told(*name.split())
    assert len(text.splitlines()) > 5
    if name == "kinds":
        assert all(kind in text for kind in (*built_in(), *BASE_KINDS))
    if name == "families":
        assert "thin-wall-125" in text and "Battery cable" in text
    if name == "contacts":
        assert "pin-1.5" in text and "to 12 A; may be sealed" in text


def test_everything_that_is_known_is_told():
    assert len(known()) > 300
    assert all(explained(name.split(" ")) for name in known())


def test_a_word_that_is_not_there_is_told_with_the_one_that_was_meant():
    ended = CliRunner().invoke(main, ["explain", "inrsh"])
    assert ended.exit_code == 2 and "did you mean `inrush`?" in ended.output


@pytest.mark.parametrize("name", BASE_KINDS)
def test_a_kind_that_brings_nothing_is_told_too(name):
    assert f"kind {name}: brings no pins" in told(*name.split())


def test_columns_are_as_wide_as_their_longest_name():
    longest = max(built_in(), key=len)
    assert f"\n  {longest}  " in told("kinds")


def test_what_stands_as_an_example_may_be_written_there(tmp_path):
    each = {(place.model, place.path[-1]): place for place in places(Description)}
    assert len(each) > 300
    for (model, key), place in each.items():
        (tmp_path / "one.yaml").write_text(f"{key}: {place.example}\n")
        tree, problems = read_yaml(tmp_path / "one.yaml", "one.yaml")
        assert not problems, place
        name = next(n for n, field in model.model_fields.items() if (field.alias or n) == key)
        field = copy(model.model_fields[name])
        alone = create_model("Alone", **{name: (field.annotation, field)}, __base__=Section)
        try:
            alone.model_validate(plain(tree))
        except ValidationError as error:
            pytest.fail(f"{' '.join(place.path)}: {place.example}: {error}")


def test_a_key_of_two_meanings_has_an_example_of_each():
    families, circuits = told("wires"), told("circuits", "wires")
    assert "wires: {fuel-pump.1: {size: 2.5 mm2}}" in circuits
    assert "wires: {silicone: {title: Silicone wire" in families


def test_a_circuit_without_a_system_is_told_where_it_goes():
    assert "left out, that of the first device" in " ".join(told("circuits", "system").split())
