"""The schema for editors says what the models say."""

from __future__ import annotations

import json

from buildbook.as_built import schema as as_built_schema
from buildbook.as_built.schema import as_built_schema_text
from buildbook.description.models import Description
from buildbook.description.schema import (
    FILE,
    schema_text,
)
from buildbook.issued import schema as issued_schema
from buildbook.issued.schema import revision_schema_text


def test_the_file_is_in_step_with_the_models():
    assert FILE.read_text(encoding="utf-8") == schema_text()
    assert as_built_schema.FILE.read_text(encoding="utf-8") == as_built_schema_text()
    assert issued_schema.FILE.read_text(encoding="utf-8") == revision_schema_text()


def test_every_section_is_there_and_none_is_required_in_one_file():
    schema = json.loads(schema_text())
    assert set(schema["properties"]) == set(Description.model_fields)
    assert "required" not in schema


def test_keys_are_spelt_as_in_the_files():
    definitions = json.loads(schema_text())["$defs"]
    assert {"from", "in", "works from"} <= set(definitions["Draw"]["properties"])


def test_every_key_has_a_description_and_an_example():
    schema = json.loads(schema_text())
    for name, node in [("Description", schema), *schema["$defs"].items()]:
        for key, value in node["properties"].items():
            assert len(value["description"]) > 4, (name, key)
            assert value["examples"] and "…" not in str(value["examples"]), (name, key)


def test_a_load_may_stand_alone_in_a_list_or_by_name_and_a_state_for_a_list():
    definitions = json.loads(schema_text())["$defs"]
    kinds = [
        one.get("type", "$ref") for one in definitions["Device"]["properties"]["draws"]["anyOf"]
    ]
    assert kinds == ["$ref", "array", "object"]
    kinds = [one.get("type", "$ref") for one in definitions["Draw"]["properties"]["in"]["anyOf"]]
    assert kinds == [["string", "number"], "array", "$ref"]
