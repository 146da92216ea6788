"""A table of wires becomes a description, and what finds no place in it is told with its place."""

from __future__ import annotations

import csv
import datetime
import io

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.begin import cells
from buildbook.begin.answers import Answers
from buildbook.begin.from_wires import network_of
from buildbook.begin.wire_table import read_wires
from buildbook.begin.write_wires import files_of_wires
from buildbook.cli import main
from buildbook.description.read import read_folder
from buildbook.vehicle.join import join

TABLE = """\
My race car wiring;;;;;;;;;;;
No;From device;From pin;To device;To pin;Signal;Amps;Fuse;Length (mm);Colour;Size;Price
1;Battery;+;Main switch;1;Battery feed;;;400;red;25 mm²;3
2;Main switch;2;Fuel pump;1;Pump feed;8;F1 15A;2100;RD/WH;2,5;
3;Fuel pump;2;Ground rear;;Pump ground;;;300;black;2.5 mm2;
4;Main switch;2;Light switch;A;Light feed;;10 A;900;B;1.5;
5;Light switch;B;Tail lamp left;1;Tail;0.5;;2500;grey;1;
6;Tail lamp left;2;Ground rear;;;;;200;BK;1;
7;Battery;-;Ground rear;;;;;250;BK;25;
8;;;Horn;1;horn;4;;;;;
9;Horn;1;Horn;1;horn;4;;;;;
10;ECU;7;Crank sensor;2;crank signal;;;abc;GN;AWG20;
"""


def begun(tmp_path, text, encoding="utf-8"):
    path = tmp_path / "wires.csv"
    path.write_bytes(text.encode(encoding))
    table, problems = read_wires(path)
    assert problems == []
    made = network_of(table)
    folder = tmp_path / "car"
    folder.mkdir()
    files = files_of_wires(made, Answers(name="Tern"), datetime.date(2031, 5, 17), path.name)
    for name, written in files.items():
        (folder / name).write_text(written, encoding="utf-8")
    return made, folder


def joined(folder):
    contents, problems = read_folder(folder)
    assert problems == []
    vehicle, problems = join(contents)
    assert problems == []
    return vehicle


@pytest.mark.parametrize("change", ["as it is", "with a byte order mark", "CRLF", "tabs", "commas"])
def test_wires_become_devices_circuits_and_ropes(change, tmp_path):
    text, encoding = TABLE, "utf-8-sig" if change == "with a byte order mark" else "utf-8"
    if change == "CRLF":
        text = text.replace("\n", "\r\n")
    if change == "tabs":
        text = text.replace(";", "\t")
    if change == "commas":
        text = text.replace("2,5", "2.5").replace(";", ",")
    made, folder = begun(tmp_path, text, encoding)
    vehicle = joined(folder)
    kinds = {name: device.kind for name, device in vehicle.devices.items()}
    assert kinds == {
        "battery": "battery",
        "main-switch": "switch",
        "fuel-pump": "motor",
        "ground-rear": "ground",
        "light-switch": "switch",
        "tail-lamp-left": "lamp",
        "ecu": "controller",
        "crank-sensor": "sensor",
        "f1": "fuse",
        "f2": "fuse",
    }
    circuits = {name: set(c.join) for name, c in vehicle.description.circuits.items()}
    assert circuits["Pump feed"] == {"main-switch.2", "f1.in", "f2.in"}
    assert circuits["Pump feed 2"] == {"f1.out", "fuel-pump.1"}
    assert circuits["Pump ground"] == {"fuel-pump.2", "ground-rear.stud"}
    assert len(circuits) == 9
    pump = vehicle.description.devices["fuel-pump"]
    assert [(d.from_, d.to, d.amps) for d in pump.draws] == [("1", "2", 8.0)]
    assert vehicle.description.devices["f1"].rating == 15.0
    assert vehicle.description.circuits["Pump feed 2"].colour == "RD/WH"
    told = {(p.where.line, p.what.partition(":")[0]) for p in made.left}
    assert {(1, "`My race car wiring`"), (2, "`Price`"), (6, "`B`"), (12, "`abc`")} <= told
    assert {line for line, what in told if "this row has nothing" in what} == {10}
    lines = text.replace("\r\n", "\n").split("\n")
    for problem in made.left:
        if problem.what.startswith("`"):
            cell = problem.what[1:].partition("`")[0]
            assert lines[problem.where.line - 1][problem.where.column - 1 :].startswith(cell)


HEADS = ["from", "from pin", "to", "to pin", "what", "amps", "fuse", "length", "colour", "size"]
WORDS = st.sampled_from(
    ["", "battery", "Ground", "K1", "F3", "Pump", "a.b", "+", "-", "30", "87", "in", "1", "2 A",
     "F1", "1 m", "9 in", "RD", "red/green", "AWG 12", "0.5", "x: {y}", "'#\"", "\\", "é*", "<n>",
     "yes", "off", "|", "ECU.A4", "12,5"]
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(rows=st.lists(st.lists(WORDS, min_size=10, max_size=10), min_size=1, max_size=6))
def test_any_table_makes_a_sound_description_and_nothing_is_dropped(rows, tmp_path_factory):
    tmp_path = tmp_path_factory.mktemp("table")
    out = io.StringIO()
    csv.writer(out, delimiter=";", lineterminator="\n").writerows([HEADS, *rows])
    made, folder = begun(tmp_path, out.getvalue())
    if not made.wires:
        assert made.left or not any(any(row) for row in rows)
        return
    joined(folder)
    placed = {wire.row.where.line for wire in made.wires}
    told = {problem.where.line for problem in made.left}
    filled = {n for n, row in enumerate(rows, start=2) if any(row)}
    assert filled <= placed | told
    for line in filled & placed:
        for column, text in zip(HEADS, rows[line - 2], strict=True):
            if column in ("amps", "colour", "size", "fuse") and text:
                assert is_held(made, line, column, text), (line, column, text)


def is_held(made, line, column, text):
    """Whether a cell is in the description, or told with its place."""
    if any(p.where.line == line and f"`{text}`" in p.what for p in made.left):
        return True
    if any(p.where.line == line and text in p.what for p in made.left):
        return True
    wires = [wire for wire in made.wires if wire.row.where.line == line]
    if column == "colour":
        return any(w.colour == cells.colour(text) for w in wires)
    if column == "size":
        return any(w.size == cells.size(text, "") for w in wires)
    if column == "fuse":
        return any(made.devices[d].kind == "fuse" for w in wires for d, _ in w.ends)
    amps = f"amps: {cells.amps(text, ''):g} A"
    return any(amps in draw for w in wires for d, _ in w.ends for draw in made.devices[d].draws)


@pytest.mark.parametrize(
    ("text", "unit", "label"),
    [
        ("0.5", "", "0.5 mm2"),
        ("2,5 mm²", "", "2.5 mm2"),
        ("1.50mm2", "", "1.5 mm2"),
        ("AWG20", "", "AWG 20"),
        ("18 AWG", "", "AWG 18"),
        ("16", "AWG", "AWG 16"),
        ("16", "", "16 mm2"),
        ("2/0", "", "AWG 2/0"),
    ],
)
def test_sizes_are_read_as_they_are_written(text, unit, label):
    assert cells.size(text, unit) == label


@pytest.mark.parametrize(
    ("text", "code"),
    [("RD", "RD"), ("red", "RD"), ("Red/White", "RD/WH"), ("blk", "BK"), ("R/W", "RD/WH"),
     ("green with yellow", "GN/YE"), ("gray", "GY")],
)  # fmt: skip
def test_colours_are_read_by_code_name_and_short_form(text, code):
    assert cells.colour(text) == code


def test_the_command_writes_the_folder_and_lists_what_found_no_place(tmp_path):
    (tmp_path / "wires.csv").write_text(TABLE)
    args = ["new", str(tmp_path / "car"), "--from", str(tmp_path / "wires.csv")]
    told = CliRunner().invoke(main, args)
    assert told.exit_code == 0
    assert "wires.csv:6:53: `B`: `B` may be black, blue or brown" in told.output
    held = (tmp_path / "car" / "not-placed.md").read_text()
    listed = [line for line in told.output.splitlines() if line.startswith("wires.csv:")]
    assert len(listed) == held.count("- [ ] wires.csv:") > 5


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a;b;c\n1;2;3\n", "wires.csv:1:1: no columns for both ends of a wire"),
        ("from;to\nHorn;\n", "wires.csv:2:1: this row has nothing under `to`"),
        ('from;to\n"Horn;b\n', "wires.csv:2:1: this quote is never closed"),
        ("", "no columns for both ends"),
    ],
)
def test_a_table_without_a_wire_is_refused_and_nothing_is_written(text, said, tmp_path):
    (tmp_path / "wires.csv").write_text(text)
    args = ["new", str(tmp_path / "car"), "--from", str(tmp_path / "wires.csv")]
    told = CliRunner().invoke(main, args)
    assert told.exit_code == 1 and said in told.output
    assert not (tmp_path / "car").exists()
