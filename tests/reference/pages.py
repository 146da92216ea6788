"""Reads which keys a page of the reference tells, and which keys some data have."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from click.testing import CliRunner

from buildbook.cli import main

BY_NAME = {
    "states",
    "buying.by_kind",
    "buying.by_system",
    "buying.by_harness",
    "buying.unserved",
    "readings",
    "one_by_one",
    "inputs",
    "result",
}
"""Objects of the data whose keys are names of a description."""


def printed(*words: str) -> str:
    """What `buildbook reference` prints."""
    ended = CliRunner().invoke(main, ["reference", *words])
    assert ended.exit_code == 0, ended.output
    return ended.output


def keys_in(cell: str) -> list[str]:
    """What stands between backticks."""
    return re.findall(r"`([^`]+)`", cell)


def last_keys(paths: set[str]) -> set[str]:
    """The ways to keys below which there is no other; an object by name counts as one key."""
    short = {path.removesuffix(".NAME") for path in paths}
    return {path for path in short if not any(other.startswith(f"{path}.") for other in short)}


def held(data: Any) -> set[str]:
    """Every last key of some data by its way in: 'wires.id'."""
    return last_keys(set(_paths(data, "")))


def _paths(data: Any, path: str) -> Iterator[str]:
    if isinstance(data, list):
        for item in data:
            yield from _paths(item, path)
    elif isinstance(data, dict):
        for key, value in data.items():
            here = f"{path}.{'NAME' if path in BY_NAME else key}".lstrip(".")
            yield here
            yield from _paths(value, here)


def told(page: str) -> set[str]:
    """Every last key that a page tells: in the first column of its tables, and below a heading
    `### `key`` the keys of that one."""
    found: set[str] = set()
    above = ""
    for line in page.splitlines():
        if line.startswith("### "):
            named = keys_in(line.partition(":")[0])
            above = f"{named[0]}." if len(named) == 1 else ""
            found |= set(named)
        elif line.startswith("| `"):
            found |= {above + key for key in keys_in(line.split(" | ")[0])}
    return last_keys({re.sub(r"\b[A-Z]{2,}\b", "NAME", path) for path in found})
