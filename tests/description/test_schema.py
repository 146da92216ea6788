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


def test_the_file_is_in_step_with_the_models():
    assert FILE.read_text(encoding="utf-8") == schema_text()
    assert as_built_schema.FILE.read_text(encoding="utf-8") == as_built_schema_text()


def test_every_section_is_there_and_none_is_required_in_one_file():
    schema = json.loads(schema_text())
    assert set(schema["properties"]) == set(Description.model_fields)
    assert "required" not in schema


def test_keys_are_spelt_as_in_the_files():
    definitions = json.loads(schema_text())["$defs"]
    assert {"from", "in", "works from"} <= set(definitions["Draw"]["properties"])
