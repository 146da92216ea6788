"""The description language as a JSON Schema, for editors that complete and check as one types."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from buildbook.description.key_docs import example_of, key_docs, takes_one
from buildbook.description.models import Description, Section

FILE = Path(__file__).with_name("schema.json")
ALONE = ("Pin", "Move", "Wall")
"""Models in whose place one value may stand: what a pin is for, how far back a wall is."""


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
    models = {inner.__name__: inner for inner in _below(Section)}
    _tell(schema, model)
    for name, definition in schema.get("$defs", {}).items():
        _tell(definition, models[name])
    _allow_numbers_as_names(schema)
    return schema


def _tell(definition: dict[str, Any], model: type[BaseModel]) -> None:
    """What each key means and an example of it; where one may stand for a list, that it may."""
    says = key_docs(model) if issubclass(model, Section) else {}
    for name, field in model.model_fields.items():
        key = field.alias or name
        node = definition["properties"][key]
        example = example_of(key, node, model.__name__)
        told = {"description": says.get(name, "")} | (
            {} if "examples" in node else {"examples": [example]}
        )
        definition["properties"][key] = {**_as_written(node, field), **told}


def _as_written(node: dict[str, Any], field: FieldInfo) -> dict[str, Any]:
    """What a key takes before it is made uniform: one in place of a list, a state, a pin's use,
    the place of a move."""
    if "default" in node and node["default"] is None and "anyOf" not in node:
        return node
    kept: dict[str, Any] = {key: node[key] for key in ("default", "title") if key in node}
    if node.get("$ref", "").endswith("/When"):
        states = {"type": "array", "items": {"type": "string"}}
        return {"anyOf": [{"type": "string"}, states, {"$ref": node["$ref"]}], **kept}
    if node.get("type") == "array" and takes_one(field):
        inner = {key: value for key, value in node.items() if key not in kept}
        named = {"type": "object", "additionalProperties": node["items"]}
        several = [named] if "$ref" in node["items"] else []
        return {"anyOf": [node["items"], inner, *several], **kept}
    inside = node.get("additionalProperties")
    one = inside.get("$ref", "").rpartition("/")[2] if isinstance(inside, dict) else ""
    if one in ALONE:
        return {**node, "additionalProperties": {"anyOf": [{"type": "string"}, inside]}}
    return node


def _below(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    for inner in model.__subclasses__():
        yield inner
        yield from _below(inner)


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
