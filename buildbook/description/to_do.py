"""Places that the author marked as still to be filled in: comments `# TO DO: …` in the YAML."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import yaml

from buildbook.description.read import files_of
from buildbook.description.yaml_reader import LOADER, Unreadable, read_text
from buildbook.problem import Where

MARK = re.compile(r"(?:^|(?<=\s))#\s*TO ?DO\b:?[ \t]*(.*?)\s*$", re.MULTILINE)
"""A comment that marks a place, and what is to be done there."""


@dataclass(frozen=True, order=True)
class ToDo:
    """A place to be filled in, and what goes there in the author's words."""

    where: Where
    what: str


def to_do_of(folder: Path) -> tuple[ToDo, ...]:
    """All that is marked in the YAML of a vehicle folder, file by file in their order."""
    found: list[ToDo] = []
    for path in files_of(folder)[0]:
        if path.suffix == ".yaml":
            try:
                found += to_do_in(read_text(path, path.name), path.name)
            except (Unreadable, yaml.YAMLError):
                continue  # what is wrong with it is told where it is read
    return tuple(found)


def to_do_in(text: str, name: str) -> list[ToDo]:
    """What is marked in the text of one file; a mark inside a value is part of the value."""
    marks = list(MARK.finditer(text))
    if not marks:
        return []
    values = [
        (token.start_mark.index, token.end_mark.index)
        for token in yaml.scan(text, Loader=LOADER)
        if isinstance(token, yaml.ScalarToken)
    ]
    return [
        ToDo(_place(text, mark.start(), name), mark[1] or _line(text, mark.start()))
        for mark in marks
        if not any(start <= mark.start() < end for start, end in values)
    ]


def _place(text: str, at: int, name: str) -> Where:
    before = text.rfind("\n", 0, at) + 1
    return Where(name, text.count("\n", 0, at) + 1, at - before + 1)


def _line(text: str, at: int) -> str:
    """What stands before a mark that says nothing, as far as its line goes."""
    return text[text.rfind("\n", 0, at) + 1 : at].strip() or "to be filled in"
