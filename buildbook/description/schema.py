"""The description language as a JSON Schema, for editors that complete and check as one types."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from buildbook.description.models import Description

FILE = Path(__file__).with_name("schema.json")


def schema_text() -> str:
    """The text that schema.json must hold. `python -m buildbook.description.schema` writes it.

    Sections may stand in several files, so none is required in any one of them.
    """
    schema = schema_of(Description, "Vehicle description")
    schema.pop("required", None)
    return schema_as_text(schema)


def schema_of(model: type[BaseModel], title: str) -> dict[str, Any]:
    """The JSON Schema of a model, in the spelling of its files."""
    schema = model.model_json_schema(by_alias=True)
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = title
    _allow_numbers_as_names(schema)
    return schema


def schema_as_text(schema: dict[str, Any]) -> str:
    """A schema as it stands in its file."""
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
