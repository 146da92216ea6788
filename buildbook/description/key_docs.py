"""What the models say of their keys: the text that stands below each in their source."""

from __future__ import annotations

import ast
import inspect
import sys
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from pydantic import BeforeValidator
from pydantic.fields import FieldInfo

from buildbook.description.models import Section
from buildbook.description.tree import at, entries
from buildbook.description.yaml_reader import read_yaml


def model_doc(model: type[Section]) -> str:
    """What a model says of itself, in one line; nothing where it says nothing."""
    return " ".join((model.__dict__.get("__doc__") or "").split())


PLAIN = {"integer": "2", "number": "1.5", "boolean": "yes"}
EXAMPLES = Path(__file__).with_name("examples.yaml")


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


def takes_one(field: FieldInfo) -> bool:
    """Whether a key of many also takes one that stands alone."""
    before = [m.func for m in field.metadata if isinstance(m, BeforeValidator)]
    return any(_made_of(read, "x") == ["x"] for read in before)


def _made_of(read: Any, value: str) -> Any:
    try:
        return read(value)
    except ValueError:
        return None


def example_of(key: str, node: Mapping[str, Any], model: str = "") -> str:
    """What may stand behind a key with this piece of schema, in the spelling of the files.

    A key that takes something else in another `model` has an example of its own there.
    """
    own = _written("by model").get(f"{model} {key}")
    if own:
        return own
    while "anyOf" in node:
        node = next(n for n in node["anyOf"] if n.get("type") != "null")
    if node.get("$ref", "").endswith("/When"):
        return _written("texts")["state"]
    if "enum" in node:
        return str(node["enum"][0])
    if "const" in node:
        return str(node["const"])
    if "examples" in node:
        return str(node["examples"][0])
    if node.get("format") == "date":
        return "2026-02-20"
    if node.get("type") in PLAIN:
        return PLAIN[node["type"]]
    if node.get("type") == "string":
        return _written("texts").get(key, "…")
    return _written("several").get(key) or _of_several(key, node)


@cache
def _written(section: str) -> dict[str, str]:
    """The examples that are written by hand."""
    tree, _ = read_yaml(EXAMPLES, EXAMPLES.name)
    return {key: str(node.value) for key, node in entries(at(tree, section)).items()}


def _of_several(key: str, node: Mapping[str, Any]) -> str:
    if "prefixItems" in node:
        return f"[{', '.join(example_of(key, item) for item in node['prefixItems'])}]"
    if node.get("type") == "array":
        return f"[{example_of(key, node['items'])}]"
    if node.get("type") == "object":
        inside = node.get("additionalProperties")
        return f"{{NAME: {example_of(key, inside) if isinstance(inside, Mapping) else '…'}}}"
    return ""
