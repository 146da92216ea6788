"""A description with single values written otherwise, to try what that makes of the rest."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from pydantic import BaseModel

from buildbook.description.models import Description

Edit = tuple[tuple[str | int, ...], Any]
"""Path of keys as they are written, and the value that stands there instead; None takes an entry
with a name out."""


def edited(description: Description, edits: Iterable[Edit]) -> Description:
    """A copy of a description in which each path has its value; names that are new are added.

    What is edited of an entry that an edit before took out stays out.
    """
    out: list[tuple[str | int, ...]] = []
    for path, value in edits:
        if any(path[: len(gone)] == gone for gone in out):
            continue
        description = _set(description, path, value)
        if value is None:
            out.append(path)
    return description


def _set(node: Any, path: tuple[str | int, ...], value: Any) -> Any:
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(node, BaseModel):
        field = _field(node, str(step))
        return node.model_copy(update={field: _set(getattr(node, field), rest, value)})
    if isinstance(node, dict) and not rest and value is None:
        return {name: entry for name, entry in node.items() if name != step}
    if isinstance(node, dict):
        return {**node, str(step): _set(node.get(str(step)), rest, value)}
    if isinstance(node, (list, tuple)) and isinstance(step, int):
        return [_set(item, rest, value) if i == step else item for i, item in enumerate(node)]
    raise KeyError(f"nothing can be written at {step}")


def _field(node: BaseModel, key: str) -> str:
    """The attribute of a key as it is written: 'works from' is works_from."""
    for name, info in type(node).model_fields.items():
        if key in (info.alias, name):
            return name
    raise KeyError(key)
