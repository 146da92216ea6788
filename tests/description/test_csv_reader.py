"""Tables of parts, as spreadsheets save them."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildbook.description.csv_reader import read_csv
from buildbook.description.read import read_folder
from buildbook.description.yaml_reader import plain
from buildbook.pipeline import work_out

TWO_WIRE = Path(__file__).parents[1] / "vehicles" / "two-wire" / "vehicle.yaml"


def read(tmp_path: Path, text: str, encoding: str = "utf-8"):
    file = tmp_path / "parts.csv"
    file.write_bytes(text.encode(encoding))
    return read_csv(file, "parts.csv")


def vehicle(tmp_path: Path, table: str) -> Path:
    (tmp_path / "vehicle.yaml").write_text(TWO_WIRE.read_text())
    (tmp_path / "parts.csv").write_text(table)
    return tmp_path


def test_a_row_is_a_part_and_lists_are_set_apart_by_semicolons(tmp_path):
    tree, problems = read(
        tmp_path,
        "part,what,serves,price,pack,breaks,owned\n"
        'A-1,"Pins, 50",terminal pin-1.5; terminal pin-2.8,11.50,50,5: 10.40; 20: 9.90,12\n',
    )
    assert not problems
    assert plain(tree) == {
        "parts": {
            "A-1": {
                "what": "Pins, 50",
                "serves": ["terminal pin-1.5", "terminal pin-2.8"],
                "price": 11.5,
                "pack": 50,
                "breaks": {"5": 10.4, "20": 9.9},
                "owned": [12],
            }
        }
    }


def test_semicolons_part_the_cells_where_the_heading_has_no_comma(tmp_path):
    tree, _ = read(tmp_path, '\ufeffpart;what;serves\r\nA;Tie;"tie;label"\r\n;;\r\n')
    assert plain(tree) == {"parts": {"A": {"what": "Tie", "serves": ["tie", "label"]}}}


def test_a_quoted_cell_may_hold_quotes_and_line_ends(tmp_path):
    tree, problems = read(tmp_path, 'part,what\nA,"6"" sleeve\ntwo lines"\nB,Tie\n')
    assert not problems
    assert plain(tree)["parts"]["A"]["what"] == '6" sleeve\ntwo lines'
    assert tree.value["parts"].keys["B"].line == 4


@pytest.mark.parametrize(
    ("table", "where", "says"),
    [
        ("part,whta\nA,Tie\n", "parts.csv:1:6", "no column `whta`"),
        ("what\nTie\n", "parts.csv:1:1", "no column `part`"),
        ("part,what,what\nA,b,c\n", "parts.csv:1:11", "twice"),
        ("part,what\n,Tie\n", "parts.csv:2:1", "no part number"),
        ("part,what\nA,Tie\nA,Tape\n", "parts.csv:3:1", "written twice"),
        ("part,what\nA,Tie,2.00\n", "parts.csv:2:7", "beyond the last column"),
        ('part,what\nA,"Tie\n', "parts.csv:2:3", "never closed"),
        ('part,what\nA,"Tie" b\n', "parts.csv:2:3", "after the closing quote"),
        ("part,breaks\nA,5: 3; 20\n", "parts.csv:2:9", "not a price break"),
        ("part,what\nA,Ti\x07e\n", "parts.csv:2:5", "control character"),
    ],
)
def test_a_mistake_in_a_table_names_its_line_and_column(tmp_path, table, where, says):
    _, problems = read(tmp_path, table)
    assert [str(p.where) for p in problems] == [where]
    assert says in problems[0].what


@pytest.mark.parametrize(
    ("row", "where", "says"),
    [
        ("A,Tie,about 3,,,,", "parts.csv:2:7", "`about 3` is not an amount of money"),
        ('A,Tie,"3,50",,,,', "parts.csv:2:8", "`3,50` is not an amount of money"),
        ("A,Tie,3,nobody,,,", "parts.csv:2:9", "no supplier `nobody`"),
        ("A,Tie,3,,May,,", "parts.csv:2:10", "`May` is not a date"),
        ("A,Tie,3,,,0,", "parts.csv:2:11", "must be above zero"),
        ("A,Tie,3,,,false,", "parts.csv:2:11", "must be a number"),
        ("A,Tie,3,,,,5: dear", "parts.csv:2:12", "`dear` is not an amount of money"),
        ("A,,3,,,,", "parts.csv:2:1", "`what` is missing"),
    ],
)
def test_a_wrong_value_in_a_table_names_its_cell(tmp_path, row, where, says):
    folder = vehicle(tmp_path, f"part,what,price,supplier,dated,pack,breaks\n{row}\n")
    result, problems = work_out(folder)
    assert result is None
    assert [str(p.where) for p in problems] == [where]
    assert says in problems[0].what


def test_parts_of_a_table_stand_beside_those_of_the_yaml(tmp_path):
    reading, problems = read_folder(vehicle(tmp_path, "part,what,price\nA-9,Tie,3.20\n"))
    assert not problems
    assert reading.description.parts["A-9"].price == "3.20"


def test_a_part_in_a_table_and_in_the_yaml_is_told_with_both_places(tmp_path):
    folder = vehicle(tmp_path, "part,what\nA,Tie\n")
    (folder / "more.yaml").write_text("parts:\n  A: {what: Tape}\n")
    _, problems = read_folder(folder)
    assert str(problems[0].where) == "parts.csv:2:1"
    assert "more.yaml:2:3" in problems[0].what


def test_a_table_outside_the_folder_is_not_read(tmp_path):
    outside = tmp_path / "secret.csv"
    outside.write_text("part,what\nA,Tie\n")
    folder = tmp_path / "car"
    folder.mkdir()
    (folder / "vehicle.yaml").write_text(TWO_WIRE.read_text())
    (folder / "parts.csv").symlink_to(outside)
    reading, problems = read_folder(folder)
    assert reading is None
    assert "outside the vehicle folder" in problems[0].what
