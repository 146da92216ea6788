"""The keys of a model of the description as nested Markdown lists, read from the model itself."""

from __future__ import annotations

import ast
import inspect
import sys
import textwrap
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from pydantic import BeforeValidator
from pydantic.fields import FieldInfo

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
        words = [takes(node, one_or_more=_takes_one(field))]
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


def _takes_one(field: FieldInfo) -> bool:
    """Whether a key of many also takes one that stands alone."""
    before = [m.func for m in field.metadata if isinstance(m, BeforeValidator)]
    return any(_made_of(read, "x") == ["x"] for read in before)


def _made_of(read: Any, value: str) -> Any:
    try:
        return read(value)
    except ValueError:
        return None


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


def model_doc(model: type[Section]) -> str:
    """What a model says of itself, in one line; nothing where it says nothing."""
    return " ".join((model.__dict__.get("__doc__") or "").split())


@cache
def key_docs(model: type[Section]) -> dict[str, str]:
    """Field -> the text that stands below it in the source, in one line; inherited ones too."""
    inherited = [base for base in model.__bases__ if issubclass(base, Section)]
    found = {key: doc for base in inherited for key, doc in key_docs(base).items()}
    tree = ast.parse(inspect.getsource(sys.modules[model.__module__]))
    body = next(
        n.body for n in tree.body if isinstance(n, ast.ClassDef) and n.name == model.__name__
    )
    for field, text in zip(body, body[1:], strict=False):
        match field, text:
            case ast.AnnAssign(target=ast.Name(id=name)), ast.Expr(
                value=ast.Constant(value=str(doc))
            ):
                found[name] = " ".join(doc.split())
    return found


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
