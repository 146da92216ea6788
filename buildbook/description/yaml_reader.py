"""Reads one YAML file into a tree that knows where everything stands, safely."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

import yaml

from buildbook.description.unseen import HINT, NOT_NAME, WHY, called, composed, unseen_in
from buildbook.problem import Problem, Where

LARGEST_BYTES = 1_000_000
DEEPEST = 30
SHALLOW_HINT = "no section needs that depth; look for brackets that are not closed"

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
INTEGER = re.compile(r"[-+]?[0-9]+")
DECIMAL = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")


class WrittenInt(int):
    """A whole number that prints as it was written, so that cavity 01 stays 01."""

    text: str

    def __str__(self) -> str:
        return self.text


class WrittenFloat(float):
    """A decimal number that prints as it was written, so that a price of 4.50 stays so."""

    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True)
class Node:
    """A value and its place; `value` is a scalar, a dict or list of nodes."""

    value: object
    where: Where
    keys: dict[str, Where] = field(default_factory=dict)
    """Places of the keys, where the value is a dict."""
    added: str = ""
    """What wrote it, where that was not the author: 'kind horn', 'feed pump'."""


class Unreadable(Exception):
    """Stops the reading of one file; carries the problem."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.what)
        self.problem = problem


def read_yaml(path: Path, name: str) -> tuple[Node | None, list[Problem]]:
    """Read the file at `path`, called `name` in messages; None where it cannot be read."""
    problems: list[Problem] = []
    try:
        text = _text(path, name)
        tree = _Builder(name, text, problems).document()
    except Unreadable as stop:
        return None, [*problems, stop.problem]
    return tree, problems


def plain(node: Node) -> object:
    """The tree without its places: dicts, lists and scalars."""
    if isinstance(node.value, dict):
        return {key: plain(child) for key, child in node.value.items()}
    if isinstance(node.value, list):
        return [plain(child) for child in node.value]
    return node.value


def read_text(path: Path, name: str) -> str:
    """The text of a small UTF-8 file; raises Unreadable with a located problem."""
    try:
        with path.open("rb") as stream:
            raw = stream.read(LARGEST_BYTES + 1)
    except OSError as error:
        raise Unreadable(Problem(Where(name), f"cannot read `{name}`: {error.strerror}")) from None
    if len(raw) > LARGEST_BYTES:
        raise Unreadable(
            Problem(
                Where(name),
                f"`{name}` is larger than {LARGEST_BYTES // 1_000_000} MB",
                "a description of a vehicle is never so long; reading stops to stay safe",
                "split it into several files, or take out what does not belong",
            )
        )
    try:
        return _seen(raw.decode("utf-8-sig"), name)
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        start = before.rfind(b"\n") + 1
        column = len(before[start:].decode("utf-8", "replace").lstrip("\ufeff")) + 1
        where = Where(name, before.count(b"\n") + 1, column)
        raise Unreadable(
            Problem(
                where,
                f"`{name}` is not UTF-8 text (byte 0x{raw[error.start]:02X})",
                "letters with accents and signs such as ° would be misread",
                "save the file again with the encoding UTF-8",
            )
        ) from None


_text = read_text


def _seen(text: str, name: str) -> str:
    """The text as it is; raises Unreadable at the first character that is not text."""
    if found := unseen_in(text):
        line_start = text.rfind("\n", 0, found.start()) + 1
        where = Where(name, text.count("\n", 0, line_start) + 1, found.start() - line_start + 1)
        raise Unreadable(Problem(where, f"{called(found[0])} stands here", WHY, HINT))
    return text


def scalar(text: str) -> object:
    """The value of an unquoted scalar: YAML 1.2 core, so yes, no, on and off are words."""
    if text in ("", "~", "null", "Null", "NULL"):
        return None
    if text in ("true", "True", "TRUE"):
        return True
    if text in ("false", "False", "FALSE"):
        return False
    if INTEGER.fullmatch(text) and len(text) < 19:
        whole = WrittenInt(text)
        whole.text = text
        return whole
    if DECIMAL.fullmatch(text) and len(text) < 40:
        decimal = WrittenFloat(text)
        decimal.text = text
        return decimal
    return text


class _Mark(Protocol):
    """Where the parser stands, counted from 0."""

    line: int
    column: int


class _Builder:
    """Turns the events of one file into nodes."""

    def __init__(self, name: str, text: str, problems: list[Problem]) -> None:
        self.name = name
        self.text = text
        self.problems = problems
        self.events = self._events()

    def document(self) -> Node:
        """The file's one document; an empty file is an empty mapping."""
        tree = Node({}, Where(self.name))
        documents = 0
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise self._stop(
                        event,
                        "a second document starts here",
                        "write one document a file, without `---` between parts",
                    )
            elif isinstance(event, yaml.NodeEvent):
                tree = self._node(event, 0)
        if tree.value is None:
            return Node({}, tree.where)
        return tree

    def _node(self, event: yaml.Event, depth: int) -> Node:
        anchor = getattr(event, "anchor", None)
        if isinstance(event, yaml.AliasEvent) or anchor:
            sign = "*" if isinstance(event, yaml.AliasEvent) else "&"
            raise self._stop(
                event,
                f"`{sign}{anchor}` is a YAML anchor or alias, which is not allowed here",
                "write the value out; put quotes around a text that starts with & or *",
            )
        tag = getattr(event, "tag", None)
        if tag not in (None, "!"):
            raise self._stop(
                event, f"the YAML tag `{tag}` is not allowed here", "write plain text or a number"
            )
        if depth > DEEPEST:
            raise self._stop(event, f"nested more than {DEEPEST} levels deep", SHALLOW_HINT)
        where = self._where(event.start_mark)
        if isinstance(event, yaml.ScalarEvent):
            if found := unseen_in(event.value):
                raise self._unseen(event, found[0])
            text = composed(event.value)
            return Node(scalar(text) if event.implicit[0] else text, where)
        if isinstance(event, yaml.SequenceStartEvent):
            return Node(self._items(depth), where)
        return self._mapping(where, depth)

    def _items(self, depth: int) -> list[Node]:
        items = []
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            items.append(self._node(event, depth + 1))
        return items

    def _mapping(self, where: Where, depth: int) -> Node:
        values: dict[str, Node] = {}
        keys: dict[str, Where] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            if not isinstance(event, yaml.ScalarEvent):
                raise self._stop(event, "a key must be a plain word", "give the entry a name")
            if found := unseen_in(event.value, NOT_NAME):
                raise self._unseen(event, found[0])
            key, place = composed(event.value), self._node(event, depth + 1).where
            child = self._node(next(self.events), depth + 1)
            if key in keys:
                self.problems.append(
                    Problem(
                        place,
                        f"`{key}` is written twice; the first is at {keys[key]}",
                        "only one of the two would be used",
                        "keep one, or give the second another name",
                    )
                )
                continue
            values[key], keys[key] = child, place
        return Node(values, where, keys)

    def _events(self) -> Iterator[yaml.Event]:
        try:
            yield from yaml.parse(self.text, Loader=LOADER)
        except yaml.YAMLError as error:
            raise self._syntax(error) from None

    def _syntax(self, error: yaml.YAMLError) -> Unreadable:
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        where = self._where(mark) if mark else self._bad_character(error)
        tab = self._tab_near(where.line)
        if tab:
            return Unreadable(
                Problem(
                    tab,
                    "a tab stands where the line is indented",
                    "YAML counts spaces; a tab has no width",
                    "replace the tab by two spaces; most editors can do it for the whole file",
                )
            )
        said = getattr(error, "problem", None) or getattr(error, "reason", None) or "not YAML"
        if "nesting" in said:
            return Unreadable(
                Problem(where, f"nested more than {DEEPEST} levels deep", "", SHALLOW_HINT)
            )
        context = getattr(error, "context", None)
        return Unreadable(
            Problem(
                where,
                f"this is not YAML: {said}" + (f" {context}" if context else ""),
                "the file cannot be read past this place",
                _syntax_hint(str(said)),
            )
        )

    def _bad_character(self, error: yaml.YAMLError) -> Where:
        position = getattr(error, "position", None)
        if not isinstance(position, int):
            return Where(self.name)
        before = self.text[:position]
        return Where(self.name, before.count("\n") + 1, position - before.rfind("\n"))

    def _tab_near(self, line: int) -> Where | None:
        lines = self.text.split("\n")
        for number in range(min(line + 1, len(lines)), max(line - 3, 0), -1):
            indent = re.match(r"[ \t]*", lines[number - 1])
            if indent and "\t" in indent[0]:
                return Where(self.name, number, indent[0].index("\t") + 1)
        return None

    def _where(self, mark: _Mark | None) -> Where:
        """Place of a mark; the parser sets one on every event."""
        return Where(self.name, mark.line + 1, mark.column + 1) if mark else Where(self.name)

    def _unseen(self, event: yaml.Event, character: str) -> Unreadable:
        what = f"{called(character)} stands in this text"
        return Unreadable(Problem(self._where(event.start_mark), what, WHY, HINT))

    def _stop(self, event: yaml.Event, what: str, hint: str) -> Unreadable:
        return Unreadable(Problem(self._where(event.start_mark), what, "", hint))


def _syntax_hint(said: str) -> str:
    if "mapping values" in said:
        return "a text that contains `: ` needs quotes; otherwise check the indentation"
    if "expected <block end>" in said or "did not find expected key" in said:
        return "check that this line starts under the lines that it belongs with"
    if "could not find expected ':'" in said:
        return "a key needs a colon and a space after it"
    if "',' or" in said:
        return "check for a missing comma or closing bracket"
    if "cannot start any token" in said:
        return "a text that starts with @, %, ` or a tab needs quotes"
    return "check quotes, brackets and indentation just before this place"
