"""Reads a spreadsheet of wires: which column is what, and what stands in each row."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass, field
from pathlib import Path

from buildbook.description.csv_reader import Cell, rows_of
from buildbook.description.yaml_reader import Unreadable, read_text
from buildbook.problem import Problem, Where

HEADINGS = {
    "from": (
        "from, from device, from component, from unit, from part, from connector, start, "
        "start device, source, origin, device a, device 1, connector a, component a, end a, side a"
    ),
    "from pin": (
        "from pin, from terminal, from cavity, from contact, from pos, from position, start pin, "
        "source pin, pin a, pin 1, terminal a, cavity a, from pin no, from pin number"
    ),
    "to": (
        "to, to device, to component, to unit, to part, to connector, end, end device, "
        "destination, dest, target, device b, device 2, connector b, component b, end b, side b"
    ),
    "to pin": (
        "to pin, to terminal, to cavity, to contact, to pos, to position, end pin, "
        "destination pin, dest pin, target pin, pin b, pin 2, terminal b, cavity b, to pin no, "
        "to pin number"
    ),
    "what": (
        "what, what it is, signal, signal name, description, function, purpose, use, net, "
        "circuit, circuit name, wire name, name, label"
    ),
    "number": "no, nr, number, wire, wire no, wire number, wire id, id, item, #",
    "current": "current, amps, amp, a, load, load current, max current, amperage",
    "fuse": "fuse, fuse rating, fuse size, fuse no, fused, protection",
    "length": "length, len, wire length, cut length, length mm, length in, length cm, length m",
    "colour": "colour, color, wire colour, wire color, col",
    "size": (
        "size, wire size, gauge, wire gauge, awg, cross section, cross sectional area, csa, "
        "area, mm2, conductor, size mm2, size awg, gauge awg"
    ),
    "system": "system, subsystem, group, section, harness, loom",
    "about": "about, note, notes, remark, remarks, comment, comments",
}
"""What a column is for -> headings that mean it, in small letters."""
UNITS = {"mm": "mm", "cm": "cm", "m": "m", "in": "in", "inch": "in", "inches": "in", "ft": "ft"}
UNITS |= {"ma": "mA", "amps": "A", "a": "A", "awg": "AWG", "mm2": "mm2"}
SIGNS = ",;\t|"
MOST_TITLES = 10
"""Rows above the headings that are looked through."""


@dataclass(frozen=True)
class WireRow:
    """One row of the table; cells that are empty are left out."""

    where: Where
    cells: dict[str, Cell]

    def text(self, column: str) -> str:
        return self.cells[column].text.strip() if column in self.cells else ""

    def at(self, column: str) -> Where:
        """Place of a cell, of the row where it is empty."""
        return self.cells[column].where if column in self.cells else self.where


@dataclass(frozen=True)
class WireTable:
    """The rows, the units that headings give, and what stands in no column that is known."""

    rows: list[WireRow]
    units: dict[str, str]
    left: list[Problem] = field(default_factory=list)


def read_wires(path: Path) -> tuple[WireTable | None, list[Problem]]:
    """The table at `path`, UTF-8 with or without a byte order mark, or why there is none."""
    name = path.name
    try:
        text = read_text(path, name)
        sign = _sign(text)
        rows = [row for row in rows_of(text, name, sign) if any(c.text.strip() for c in row)]
    except Unreadable as stop:
        return None, [stop.problem]
    for index, row in enumerate(rows[:MOST_TITLES]):
        columns, units = _columns(row)
        if "from" in columns.values() and "to" in columns.values():
            left = [_unread(row[0], "this line stands above the headings") for row in rows[:index]]
            left += _unknown_columns(row, columns, rows[index + 1 :])
            found = [_row(cells, columns) for cells in rows[index + 1 :]]
            return WireTable(found, units, left), []
    headings = ", ".join(cell.text.strip() for cell in rows[0]) if rows else "nothing"
    what = f"no columns for both ends of a wire; the first line has: {headings}"
    hint = "name two columns `from` and `to`, and `from pin` and `to pin`, in the first line"
    return None, [Problem(Where(name), what, "each row is a wire from a pin to a pin", hint)]


def _sign(text: str) -> str:
    """What stands between the cells."""
    first = re.split(r"[\r\n]", text.lstrip("\r\n"), maxsplit=1)[0]
    try:
        found = csv.Sniffer().sniff(text[:20_000], delimiters=SIGNS).delimiter
    except csv.Error:
        found = ""
    if not found or (found not in first and any(sign in first for sign in SIGNS)):
        found = max(SIGNS, key=first.count)
    return found


def _columns(row: list[Cell]) -> tuple[dict[int, str], dict[str, str]]:
    """Place of a column -> what it is for, and the units that headings name."""
    columns: dict[int, str] = {}
    units: dict[str, str] = {}
    for place, cell in enumerate(row):
        words = re.sub(r"[²]", "2", cell.text.strip().lower())
        unit = re.search(r"[\(\[]\s*([a-z0-9]+)\s*[\)\]]", words)
        plain = re.sub(r"[\(\[].*?[\)\]]", " ", words)
        plain = re.sub(r"[^a-z0-9#]+", " ", plain).strip()
        meant = next((c for c, names in HEADINGS.items() if plain in names.split(", ")), "")
        if not meant or meant in columns.values():
            continue
        columns[place] = meant
        said = unit[1] if unit else plain.rpartition(" ")[2]
        if said in UNITS and plain != "a":
            units[meant] = UNITS[said]
    return columns, units


def _row(cells: list[Cell], columns: dict[int, str]) -> WireRow:
    found = {
        columns[place]: cell
        for place, cell in enumerate(cells)
        if place in columns and cell.text.strip()
    }
    return WireRow(Where(cells[0].where.file, cells[0].where.line), found)


def _unknown_columns(
    heads: list[Cell], columns: dict[int, str], rows: list[list[Cell]]
) -> list[Problem]:
    """Columns whose heading says nothing to us and that hold something."""
    found = []
    widest = max([len(heads), *(len(row) for row in rows)])
    for place in range(widest):
        if place in columns:
            continue
        held = [row[place] for row in rows if place < len(row) and row[place].text.strip()]
        if not held:
            continue
        if place < len(heads) and heads[place].text.strip():
            why = f"the column `{heads[place].text.strip()}` is not known; {len(held)} of its cells"
            found.append(_unread(heads[place], f"{why} were not read"))
        else:
            found += [_unread(cell, "this stands below no heading") for cell in held]
    return found


def _unread(cell: Cell, why: str) -> Problem:
    return Problem(cell.where, f"`{cell.text.strip()[:60]}`: {why}")
