"""Reads a vehicle folder: the merged description, its places and its notes, or the problems."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from pydantic import ValidationError

from buildbook.description.csv_reader import TABLES, read_csv
from buildbook.description.expand.write_out import written_out
from buildbook.description.explain import explain
from buildbook.description.models import Description
from buildbook.description.pictures import pictures_of
from buildbook.description.suggest import did_you_mean
from buildbook.description.tree import less
from buildbook.description.unseen import composed
from buildbook.description.yaml_reader import Node, Unreadable, plain, read_text, read_yaml
from buildbook.problem import Problem, Where

MAIN = "vehicle.yaml"
AS_BUILT = "as-built.yaml"
"""What was built: no part of the description, and read apart from it."""
MOST_FILES = 200


@dataclass(frozen=True)
class Positions:
    """Where everything in the description was written."""

    tree: Node

    def where(self, *path: str | int) -> Where:
        """Place of the deepest written part of `path`: of the key in a mapping, else the value.

        A step that was not written (a default, a single value given for a list of one) is
        passed over.
        """
        return self._walk(path)[0]

    def value(self, *path: str | int) -> Where:
        """Place of the value at `path`, where `where` gives that of its key."""
        return self._walk(path)[1].where

    def spot(self, *path: str | int) -> Where:
        """Place to point at: the value itself where it is one word, else its key."""
        where, node = self._walk(path)
        return where if isinstance(node.value, (dict, list)) else node.where

    def _walk(self, path: Sequence[str | int]) -> tuple[Where, Node]:
        node, where = self.tree, self.tree.where
        for step in path:
            if isinstance(node.value, dict) and str(step) in node.value:
                where = node.keys[str(step)]
                node = node.value[str(step)]
            elif isinstance(node.value, list) and isinstance(step, int):
                if not 0 <= step < len(node.value):
                    break
                node = node.value[step]
                where = node.where
        return where, node


@dataclass(frozen=True)
class FolderContents:
    """A description that is well formed; its names are not yet checked against each other."""

    description: Description
    positions: Positions
    notes: dict[str, str]
    """File name -> Markdown text."""
    pictures: dict[str, str] = field(default_factory=dict)
    """As a note names it -> its `data:` address."""


def read_folder(
    folder: Path, variant: str | None = None
) -> tuple[FolderContents | None, list[Problem]]:
    """Read `vehicle.yaml`, the files beside it and the note files that they name.

    Files are other `*.yaml`, and tables of parts `parts*.csv` and of feeds `feeds*.csv`.
    `variant` is the one to lay over it all, 'as written' for none; None takes the one that the
    vehicle names.
    """
    files, problems = files_of(folder)
    trees = []
    for path in files:
        read = read_csv if path.suffix == ".csv" else read_yaml
        tree, found = read(path, path.name)
        problems += found
        if tree is not None:
            trees.append(tree)
    if len(trees) < len(files) or not files:
        return None, sorted(problems)
    merged, found = merge(trees)
    problems += found
    whole, found = written_out(merged, variant)
    problems += found
    if whole is None:
        return None, sorted(problems)
    positions = Positions(whole)
    try:
        description = Description.model_validate(plain(less(whole, {"kinds"})))
    except ValidationError as error:
        return None, sorted({*problems, *explain(error, whole)})
    notes, found = _notes(folder, description, positions)
    problems += found
    pictures: dict[str, str] = {}
    for name, text in notes.items():
        more, found = pictures_of(folder, name, text, pictures)
        pictures |= more
        problems += found
    if problems:
        return None, sorted(problems)
    return FolderContents(description, positions, notes, pictures), []


def files_of(folder: Path) -> tuple[list[Path], list[Problem]]:
    """The YAML files to read, the main one first, then by name."""
    if not (folder / MAIN).is_file():
        why = "every vehicle folder starts from this file"
        hint = f"`buildbook new {folder.name or 'DIR'}` writes a small one to start from"
        missing = f"`{MAIN}` in the folder" if folder.is_dir() else f"folder `{folder.name}`"
        what = f"there is no {missing}"
        return [], [Problem(Where(MAIN), what, why, hint)]
    problems = [
        Problem(Where(path.name), f"`{path.name}` is not read", "", "rename it to end in .yaml")
        for path in sorted(folder.glob("*.yml"))
        if not _is_hidden(path)
    ]
    files = [folder / MAIN]
    for path in sorted(folder.glob("*.yaml")):
        if path.name not in (MAIN, AS_BUILT) and not _is_hidden(path):
            files.append(path)
    for table in TABLES:
        files += sorted(folder.glob(f"{table.section}*.csv"))
    if len(files) > MOST_FILES:
        problems.append(Problem(Where(MAIN), f"more than {MOST_FILES} files in the folder"))
        files = files[:MOST_FILES]
    inside = []
    for path in files:
        if not is_inside(path, folder):
            problems.append(outside(Where(path.name), path.name))
        elif path.is_file():
            inside.append(path)
        else:
            problems.append(Problem(Where(path.name), f"`{path.name}` is not an ordinary file"))
    return inside, problems


def _is_hidden(path: Path) -> bool:
    """Whether an editor or a file manager left it: `.#vehicle.yaml`, `._vehicle.yaml`."""
    return path.name.startswith(".")


def merge(trees: list[Node]) -> tuple[Node, list[Problem]]:
    """One tree from several files: sections are joined, a name given twice is a problem."""
    values: dict[str, Node] = {}
    keys: dict[str, Where] = {}
    problems: list[Problem] = []
    for tree in trees:
        if not isinstance(tree.value, dict):
            problems.append(
                Problem(
                    tree.where,
                    "the file must be made of sections",
                    "",
                    "start with a section name and a colon, such as `devices:`",
                )
            )
            continue
        for section, node in tree.value.items():
            if section in values:
                values[section] = _merge_section(section, values[section], node, problems)
            else:
                values[section], keys[section] = node, tree.keys[section]
    first = trees[0].where if trees else Where(MAIN)
    # A section left empty is the same as one not written.
    values = {name: node for name, node in values.items() if node.value is not None}
    return Node(values, first, {name: keys[name] for name in values}), problems


def _merge_section(section: str, first: Node, second: Node, problems: list[Problem]) -> Node:
    if first.value is None or second.value is None:
        return second if first.value is None else first
    if isinstance(first.value, list) and isinstance(second.value, list):
        return Node([*first.value, *second.value], first.where)
    if not (isinstance(first.value, dict) and isinstance(second.value, dict)):
        problems.append(
            Problem(
                second.where,
                f"section `{section}` is written differently here and at {first.where}",
                "",
                "write both as entries with names, or both as a list",
            )
        )
        return first
    values, keys = dict(first.value), dict(first.keys)
    for name, node in second.value.items():
        if name in values:
            problems.append(
                Problem(
                    second.keys[name],
                    f"`{name}` is already in section `{section}`, at {keys[name]}",
                    "two files describe the same name and only one could be used",
                    "keep one, or give the second another name",
                )
            )
        else:
            values[name], keys[name] = node, second.keys[name]
    return Node(values, first.where, keys)


def _notes(
    folder: Path, description: Description, positions: Positions
) -> tuple[dict[str, str], list[Problem]]:
    """Texts of the note files by the name they are given in the description."""
    texts: dict[str, str] = {}
    problems = []
    for index, note in enumerate(description.notes):
        where = positions.value("notes", index, "file")
        path = folder / note.file
        if not is_inside(path, folder):
            problems.append(outside(where, note.file))
        elif not path.is_file():
            there = sorted(p.relative_to(folder).as_posix() for p in folder.glob("*.md"))
            there += sorted(p.relative_to(folder).as_posix() for p in folder.glob("*/*.md"))
            problems.append(
                Problem(
                    where,
                    f"no note file `{note.file}` in the folder",
                    "its text would be missing from the book",
                    did_you_mean(note.file, there),
                )
            )
        else:
            try:
                texts[note.file] = composed(read_text(path, note.file))
            except Unreadable as stop:
                problems.append(stop.problem)
    return texts, problems


def is_inside(path: Path, folder: Path) -> bool:
    """Whether a path, links followed, stays in the folder."""
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, ValueError, RuntimeError):
        return False


def outside(where: Where, name: str) -> Problem:
    """The problem of a file that lies outside the folder."""
    return Problem(
        where,
        f"`{name}` lies outside the vehicle folder",
        "only files inside the folder are read, so that a folder from a stranger is safe to open",
        "copy the file into the folder",
    )
