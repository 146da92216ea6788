"""The description language as a JSON Schema, for editors that complete and check as one types."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from buildbook.description.models import Description
from buildbook.description.record import Record

FILE = Path(__file__).with_name("schema.json")
RECORD_FILE = Path(__file__).with_name("as-built.schema.json")


def schema_text() -> str:
    """The text that schema.json must hold. `python -m buildbook.description.schema` writes it.

    Sections may stand in several files, so none is required in any one of them.
    """
    schema = _schema(Description, "Vehicle description")
    schema.pop("required", None)
    return _text(schema)


def record_schema_text() -> str:
    """The text that as-built.schema.json must hold, written by the same command."""
    return _text(_schema(Record, "What the harnesses were built with"))


def _schema(model: type[BaseModel], title: str) -> dict[str, Any]:
    schema = model.model_json_schema(by_alias=True)
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = title
    _allow_numbers_as_names(schema)
    return schema


def _text(schema: dict[str, Any]) -> str:
    return json.dumps(schema, indent=1, sort_keys=True, ensure_ascii=False) + "\n"


def _allow_numbers_as_names(node: Any) -> None:
    """Text fields also take bare numbers (`pins: {1: …}`, `unused: [3]`, `price: 4.50`)."""
    if isinstance(node, list):
        for item in node:
            _allow_numbers_as_names(item)
    elif isinstance(node, dict):
        if node.get("type") == "string" and not {"enum", "const", "format", "examples"} & set(node):
            node["type"] = ["string", "number"]
        for item in node.values():
            _allow_numbers_as_names(item)


if __name__ == "__main__":
    FILE.write_text(schema_text(), encoding="utf-8")
    RECORD_FILE.write_text(record_schema_text(), encoding="utf-8")
