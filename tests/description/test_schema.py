"""The schema for editors says what the models say."""

from __future__ import annotations

import json

from buildbook.description.models import Description
from buildbook.description.schema import (
    FILE,
    RECORD_FILE,
    record_schema_text,
    schema_text,
)


def test_the_file_is_in_step_with_the_models():
    assert FILE.read_text(encoding="utf-8") == schema_text()
    assert RECORD_FILE.read_text(encoding="utf-8") == record_schema_text()


def test_every_section_is_there_and_none_is_required_in_one_file():
    schema = json.loads(schema_text())
    assert set(schema["properties"]) == set(Description.model_fields)
    assert "required" not in schema


def test_keys_are_spelt_as_in_the_files():
    definitions = json.loads(schema_text())["$defs"]
    assert {"from", "in", "works from"} <= set(definitions["Draw"]["properties"])
