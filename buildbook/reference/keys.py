"""The keys of a model of the description as nested Markdown lists, read from the model itself."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from buildbook.description.key_docs import example_of, key_docs, model_doc, takes_one
from buildbook.description.models import Section, When
from buildbook.description.quantities import EXAMPLES

WIDTH = 96
UNITS = {tuple(text.split(" or ")): unit for unit, text in EXAMPLES.items()}
"""How a quantity is written, as a schema's examples have it -> the unit that the model holds."""
PLAIN = {"integer": "whole number", "number": "number", "boolean": "yes or no", "null": "nothing"}
NAME_LENGTH = 60
STATES = "a state, a list of states, `all`, or `{except: [STATE]}`"

Node = Mapping[str, Any]
"""A piece of a JSON Schema."""


@dataclass(frozen=True)
class Place:
    """A key of the description, where it stands."""

    path: tuple[str, ...]
    """The keys that hold it, and itself."""
    model: type[Section]
    takes: str
    default: str
    """'default 3 %', 'required'; '' where leaving it out says nothing."""
    says: str
    example: str
    """What may stand behind it."""


def places(model: type[Section], above: tuple[str, ...] = ()) -> Iterator[Place]:
    """Every key of a model and of those below it, each with its path."""
    schema = model.model_json_schema(by_alias=True)
    required, says = schema.get("required", ()), key_docs(model)
    for name, field in model.model_fields.items():
        key = field.alias or name
        node = schema["properties"][key]
        models = _models_of(node)
        about = " ".join(filter(None, [says.get(name, ""), *(model_doc(m) for m in models)]))
        default = "required" if key in required else "; ".join(_default(node))
        takes_what = takes(node, one_or_more=takes_one(field))
        example = example_of(key, node, model.__name__)
        yield Place((*above, key), model, takes_what, default, about, example)
        for inner in models:
            yield from places(inner, (*above, key))


def key_list(model: type[Section], only: str = "") -> str:
    """Every key of a model, or one of them, with the keys below it: one list item each.

    An item says what the key takes, its default, and what stands in the model about it.
    """
    return "\n".join(_items(model, 0, only))


def _items(model: type[Section], depth: int, only: str = "") -> Iterator[str]:
    schema = model.model_json_schema(by_alias=True)
    required, says = schema.get("required", ()), key_docs(model)
    for name, field in model.model_fields.items():
        if only and name != only:
            continue
        key = field.alias or name
        node = schema["properties"][key]
        words = [takes(node, one_or_more=takes_one(field))]
        words += ["required"] if key in required else _default(node)
        models = _models_of(node)
        about = [says.get(name, ""), *(model_doc(inner) for inner in models)]
        yield _wrapped(" ".join([f"- `{key}`: {'; '.join(words)}.", *filter(None, about)]), depth)
        for inner in models:
            yield from _items(inner, depth + 1)


def takes(node: Node, one_or_more: bool = False) -> str:
    """What may be written for a piece of schema: 'one of `A4`, `Letter`', 'as `12 A`'."""
    if "$ref" in node:
        return STATES if _model(node) is When else "these keys"
    if "anyOf" in node:
        others = [other for other in node["anyOf"] if other.get("type") != "null"]
        return " or ".join(dict.fromkeys(takes(other, one_or_more) for other in others))
    if "enum" in node:
        return f"one of {', '.join(f'`{value}`' for value in node['enum'])}"
    if "const" in node:
        return f"`{node['const']}`"
    if "examples" in node:
        return f"as {' or '.join(f'`{example}`' for example in node['examples'])}"
    if "prefixItems" in node:
        return f"[{'; '.join(takes(item) for item in node['prefixItems'])}]"
    if node.get("type") == "array":
        return f"{'one or a list' if one_or_more else 'list'} of: {takes(node['items'])}"
    if node.get("type") == "object":
        return f"NAME: {takes(node['additionalProperties'])}" if _named(node) else "any keys"
    if node.get("type") == "string":
        return _text(node)
    return PLAIN.get(node.get("type", ""), "anything")


def _named(node: Node) -> bool:
    return isinstance(node.get("additionalProperties"), Mapping)


def _text(node: Node) -> str:
    if node.get("format") == "date":
        return "date as `2026-02-20`"
    return "name" if node.get("maxLength") == NAME_LENGTH else "text"


def _default(node: Node) -> list[str]:
    """'default 0.02 m', where there is one that says something."""
    value = node.get("default")
    if value in (None, "", [], {}) or isinstance(value, Mapping):
        return []
    if isinstance(value, bool):
        return [f"default {'yes' if value else 'no'}"]
    unit = UNITS.get(tuple(node.get("examples", ())), "")
    if unit == "1":
        return [f"default {100 * value:g} %"]
    if isinstance(value, float):
        return [f"default {value:g} {unit}".rstrip()]
    if isinstance(value, list):
        return [f"default {', '.join(str(item) for item in value)}"]
    return [f"default {value}"]


def _models_of(node: Any) -> list[type[Section]]:
    """Models whose keys stand below a key, each once."""
    found: dict[type[Section], None] = {}
    if isinstance(node, Mapping):
        if "$ref" in node and _model(node) is not When:
            found[_model(node)] = None
        inside = [*node.get("anyOf", ()), node.get("items"), node.get("additionalProperties")]
        for other in inside:
            found |= dict.fromkeys(_models_of(other))
    return list(found)


def _model(node: Node) -> type[Section]:
    return _by_name()[node["$ref"].rpartition("/")[2]]


@cache
def _by_name() -> dict[str, type[Section]]:
    return {model.__name__: model for model in _below(Section)}


def _below(model: type[Section]) -> Iterator[type[Section]]:
    for inner in model.__subclasses__():
        yield inner
        yield from _below(inner)


def _wrapped(text: str, depth: int) -> str:
    indent = "  " * depth
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent + "  ",
        break_long_words=False,
        break_on_hyphens=False,
    )
