"""Reads parts and feeds from tables that a spreadsheet keeps, into the same tree as the YAML."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from buildbook.description.models import Feed, Part, Section
from buildbook.description.suggest import did_you_mean
from buildbook.description.unseen import composed
from buildbook.description.yaml_reader import Node, Unreadable, read_text, scalar
from buildbook.problem import Problem, Where


@dataclass(frozen=True)
class Table:
    """A section that may stand in tables, each row an entry."""

    section: str
    name: str
    """Heading of the column that holds the entries' names."""
    called: str
    """What a name is called in messages."""
    model: type[Section]
    lists: tuple[str, ...]
    """Columns whose cells hold several values, with semicolons between."""
    texts: tuple[str, ...]
    """Columns whose cells stay text, whatever they look like."""

    def columns(self) -> list[str]:
        """All that may stand in the first line."""
        return [self.name, *(f.alias or key for key, f in self.model.model_fields.items())]


TABLES = (
    Table("parts", "part", "part number", Part, ("serves", "owned", "substitutes"), ("what",)),
    Table(
        "feeds",
        "feed",
        "name",
        Feed,
        ("to", "86", "85"),
        ("name", "about", "circuit", "relay name"),
    ),
)
"""Each stands in files whose names begin with its section: `parts*.csv`, `feeds*.csv`."""

STEPS = "breaks"
"""Column whose cells hold `packs: price`, with semicolons between."""

MOST_ROWS = 20_000


@dataclass(frozen=True)
class Cell:
    text: str
    where: Where


def read_csv(path: Path, name: str) -> tuple[Node | None, list[Problem]]:
    """The section of the table at `path`, called `name` in messages: `parts` or `feeds`.

    The first line holds headings: `part` and keys of a part, or `feed` and those of a feed. Cells
    are set apart by commas, or by semicolons where the first line has no comma; quotes work as
    spreadsheets write them.
    """
    problems: list[Problem] = []
    table = next(table for table in TABLES if name.startswith(table.section))
    try:
        text = read_text(path, name)
        first = re.split(r"[\r\n]", text, maxsplit=1)[0]
        rows = list(rows_of(text, name, "," if "," in first or ";" not in first else ";"))
    except Unreadable as stop:
        return None, [stop.problem]
    rows = [row for row in rows if any(cell.text.strip() for cell in row)]
    if not rows:
        return Node({}, Where(name)), []
    heads = _heads(rows[0], name, table, problems)
    if heads is None:
        return None, problems
    values: dict[str, Node] = {}
    keys: dict[str, Where] = {}
    for row in rows[1:]:
        _entry(row, heads, table, values, keys, problems)
    made = Node(values, Where(name), keys)
    return Node({table.section: made}, Where(name), {table.section: Where(name)}), problems


def _heads(row: list[Cell], name: str, table: Table, problems: list[Problem]) -> list[str] | None:
    known = table.columns()
    heads = [cell.text.strip().lower() for cell in row]
    for place, (head, cell) in enumerate(zip(heads, row, strict=True)):
        if head and head not in known:
            problems.append(
                Problem(
                    cell.where,
                    f"no column `{cell.text.strip()}` in a table of {table.section}",
                    "it would be ignored, so it is probably misspelt",
                    did_you_mean(head, known),
                )
            )
        elif head and head in heads[:place]:
            problems.append(
                Problem(cell.where, f"the column `{head}` is there twice", "", "keep one of them")
            )
    if table.name not in heads:
        problems.append(
            Problem(
                row[0].where,
                f"`{name}` has no column `{table.name}`",
                f"each row needs the {table.called} that its {table.name} is known by",
                f"write headings in the first line: {', '.join(known[:5])}, …",
            )
        )
    return None if problems else heads


def _entry(
    row: list[Cell],
    heads: list[str],
    table: Table,
    values: dict[str, Node],
    keys: dict[str, Where],
    problems: list[Problem],
) -> None:
    """Add the entry of one row."""
    for cell in row[len(heads) :]:
        if cell.text.strip():
            problems.append(
                Problem(
                    cell.where,
                    f"`{cell.text.strip()}` stands beyond the last column",
                    "",
                    "put quotes around a text that holds the sign between the cells",
                )
            )
            return
    cells = {head: cell for head, cell in zip(heads, row, strict=False) if head}
    named = cells[table.name]
    part = named.text.strip()
    if not part:
        problems.append(
            Problem(
                named.where,
                f"this row has no {table.called}",
                f"its {table.name} could not be told from the others",
                f"fill in the column `{table.name}`, or empty the row",
            )
        )
    elif part in keys:
        problems.append(
            Problem(
                named.where,
                f"`{part}` is written twice; the first is at {keys[part]}",
                "only one of the two would be used",
                "keep one, or give it another number",
            )
        )
    else:
        filled = {h: c for h, c in cells.items() if h != table.name and c.text.strip()}
        nodes = {head: _value(head, cell, table, problems) for head, cell in filled.items()}
        values[part] = Node(nodes, named.where, {h: c.where for h, c in filled.items()})
        keys[part] = named.where


def _value(head: str, cell: Cell, table: Table, problems: list[Problem]) -> Node:
    if head in table.lists:
        return Node([Node(scalar(c.text), c.where) for c in _split(cell)], cell.where)
    if head != STEPS:
        text = cell.text.strip()
        return Node(text if head in table.texts else scalar(text), cell.where)
    values: dict[str, Node] = {}
    keys: dict[str, Where] = {}
    for step in _split(cell):
        packs, colon, price = step.text.partition(":")
        if not colon:
            problems.append(
                Problem(
                    step.where,
                    f"`{step.text}` is not a price break",
                    "",
                    "write packs, a colon and the price of each: 5: 8.40; 20: 7.90",
                )
            )
            continue
        values[packs.strip()] = Node(scalar(price.strip()), step.where)
        keys[packs.strip()] = step.where
    return Node(values, cell.where, keys)


def _split(cell: Cell) -> Iterator[Cell]:
    """The values between semicolons, each with its own column."""
    for found in re.finditer(r"[^;]+", cell.text):
        text = found[0].strip()
        if text:
            lead = found.start() + len(found[0]) - len(found[0].lstrip())
            yield Cell(text, Where(cell.where.file, cell.where.line, cell.where.column + lead))


def rows_of(text: str, name: str, sign: str) -> Iterator[list[Cell]]:
    """Cells of every line, set apart by `sign`; one in quotes may hold it, quotes and line ends."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    place, line, start = 0, 1, 0
    row: list[Cell] = []
    rows = 0
    while place <= len(lines):
        cell, end = _cell(lines, place, sign, Where(name, line, place - start + 1))
        row.append(cell)
        passed = lines[place:end]
        if "\n" in passed:
            line += passed.count("\n")
            start = place + passed.rfind("\n") + 1
        if end >= len(lines) or lines[end] == "\n":
            yield row
            rows += 1
            if rows > MOST_ROWS:
                raise Unreadable(Problem(Where(name, line), f"more than {MOST_ROWS} rows"))
            row, line, start = [], line + 1, end + 1
        place = end + 1


def _cell(text: str, place: int, sign: str, where: Where) -> tuple[Cell, int]:
    """The cell that begins at `place`, and where it ends."""
    quoted = re.compile(r'"((?:[^"]|"")*)"[ \t]*').match(text, place)
    if quoted:
        end = quoted.end()
        if end < len(text) and text[end] not in (sign, "\n"):
            what = "text stands after the closing quote of this cell"
            raise Unreadable(Problem(where, what, "", 'double a quote inside a cell: ""'))
        inside = Where(where.file, where.line, where.column + 1)
        return Cell(composed(quoted[1].replace('""', '"')), inside), end
    if text[place : place + 1] == '"':
        hint = "close the cell with a second quote"
        raise Unreadable(Problem(where, "this quote is never closed", "", hint))
    found = re.compile(rf"[{re.escape(sign)}\n]").search(text, place)
    end = found.start() if found else len(text)
    bare = text[place:end]
    lead = len(bare) - len(bare.lstrip())
    return Cell(composed(bare.strip()), Where(where.file, where.line, where.column + lead)), end
