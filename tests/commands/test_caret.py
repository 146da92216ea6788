"""A problem shows the line that it is in, with a caret below the place."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from buildbook.cli import main
from buildbook.commands.print_messages import WIDEST
from tests.description.short import folder


def told(made: Path) -> list[str]:
    ended = CliRunner().invoke(main, ["check", str(made)])
    assert ended.exit_code == 1
    return ended.output.splitlines()


def test_the_caret_stands_below_what_is_wrong(tmp_path):
    lines = told(folder(tmp_path, "circuits:\n  a: {join: [battery.+, panel.B], kolour: RD}\n"))
    place = next(n for n, line in enumerate(lines) if line.startswith("short.yaml:2:"))
    column = int(lines[place].split(":")[2])
    shown, caret = lines[place + 1], lines[place + 2]
    assert shown == "    |   a: {join: [battery.+, panel.B], kolour: RD}"
    assert shown[caret.index("^") :].startswith("kolour")
    assert caret.index("^") == len("    | ") + column - 1


def test_of_a_long_line_the_part_around_the_place_is_shown(tmp_path):
    long = ", ".join(["battery.+"] * 60)
    lines = told(folder(tmp_path, f"circuits:\n  a: {{join: [{long}], kolour: RD}}\n"))
    place = next(n for n, line in enumerate(lines) if line.startswith("short.yaml:2:"))
    shown, caret = lines[place + 1], lines[place + 2]
    assert len(shown) < WIDEST + 12 and shown[caret.index("^") :].startswith("kolour")
