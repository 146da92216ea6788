"""Writes a part of a description as YAML, with what was not written by the author told apart."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from buildbook.description.yaml_reader import Node, scalar

BARE = re.compile(r"[A-Za-z0-9_<][^:#\[\]{},\"'\\\n]*")
"""A text that YAML takes as it stands."""
COMMENT_AT = 60
"""Column of comments, where the line leaves it free."""


def as_yaml(name: str, node: Node, depth: int = 0, known: str = "") -> Iterator[str]:
    """The lines of an entry; behind each that the author did not write stands what wrote it."""
    lead = "  " * depth + f"{_word(name)}:"
    by = "" if node.added in ("", known) else node.added
    if not isinstance(node.value, (dict, list)):
        yield _told(f"{lead} {_word(node.value)}", by)
    elif isinstance(node.value, list) and all(_is_word(item) for item in node.value):
        yield _told(f"{lead} [{', '.join(_word(item.value) for item in node.value)}]", by)
    elif isinstance(node.value, list):
        yield _told(lead, by)
        for item in node.value:
            yield _told(f"{'  ' * (depth + 1)}- {flow(item)}", item.added)
    else:
        yield _told(lead, by)
        for key, child in node.value.items():
            yield from as_yaml(key, child, depth + 1, node.added or known)


def _told(line: str, by: str) -> str:
    return f"{line:<{COMMENT_AT}} # {by}" if by else line


def _is_word(node: Node) -> bool:
    return not isinstance(node.value, (dict, list))


def flow(node: Node) -> str:
    """A part of a description in one line."""
    if isinstance(node.value, dict):
        inside = ", ".join(f"{_word(key)}: {flow(child)}" for key, child in node.value.items())
        return f"{{{inside}}}"
    if isinstance(node.value, list):
        return f"[{', '.join(flow(item) for item in node.value)}]"
    return _word(node.value)


def _word(value: object) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    text = str(value)
    if not isinstance(value, str):
        return text
    bare = BARE.fullmatch(text) and text == text.strip() and isinstance(scalar(text), str)
    return text if bare else json.dumps(text, ensure_ascii=False)
