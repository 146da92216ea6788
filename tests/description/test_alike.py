"""Things that are alike are written once, and what is wrong in them is told there."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.description.short import problems_of, read

LAMPS = "circuits:\n  none: {join: [battery.+, panel.B]}\ndevices:\n"


def devices(tmp_path: Path, written: str):
    return read(tmp_path, LAMPS + written).devices


def test_a_count_makes_as_many_with_their_numbers_in_every_word(tmp_path):
    made = devices(
        tmp_path,
        "  coil: {count: 3, kind: lamp, name: Coil <n>, at: tail, contact: blade-6.3,"
        " pins: {1: feed <n>, 2: ground}, draws: {amps: 1 A, what: cylinder <n> fires}}\n",
    )
    coils = [made[f"coil-{n}"] for n in (1, 2, 3)]
    assert [coil.name for coil in coils] == ["Coil 1", "Coil 2", "Coil 3"]
    assert [coil.pins["1"].use for coil in coils] == ["feed 1", "feed 2", "feed 3"]
    assert coils[2].draws[0].what == "cylinder 3 fires"
    assert "coil" not in made


def test_each_makes_one_for_every_row_of_its_lists(tmp_path):
    made = devices(
        tmp_path,
        "  lamp-<end>-<side>: {each: {end: [front, rear], side: [left, right],"
        " amps: [2 A, 300 mA]}, kind: lamp, name: <End> <side> lamp, at: tail, contact: blade-6.3,"
        " pins: {1: a, 2: b}, draws: {amps: <amps>}}\n",
    )
    assert made["lamp-front-left"].name == "Front left lamp"
    assert made["lamp-rear-right"].draws[0].amps == 0.3


def test_a_number_may_go_on_from_another(tmp_path):
    found = read(
        tmp_path,
        "circuits:\n  line <n>: {count: 2, join: [battery.+, a.A<n+13>]}\n"
        "devices:\n  a: {kind: load, at: tail, contact: blade-6.3, pins: {A14 to A15: in <n>}}\n",
    )
    assert found.circuits["line 2"].join == ["battery.+", "a.A15"]
    assert found.devices["a"].pins["A15"].use == "in 2"


def test_pins_may_be_counted_downwards_and_left_unused_in_a_row(tmp_path):
    made = devices(
        tmp_path,
        "  a: {kind: load, at: tail, contact: blade-6.3,"
        " pins: {7 to 5: ground, 1 to 4: spare}, unused: [1 to 4]}\n",
    )
    assert list(made["a"].pins)[:3] == ["7", "6", "5"]
    assert made["a"].unused == ["1", "2", "3", "4"]


def test_a_star_joins_all_that_fit_in_the_order_of_their_names(tmp_path):
    found = read(
        tmp_path,
        "circuits:\n  feed: {join: [battery.+, lamp-*.feed, lamp-1.2]}\n"
        "devices:\n  lamp: {count: 3, kind: lamp 5 W, at: tail, contact: blade-6.3}\n",
    )
    joined = ["battery.+", "lamp-1.1", "lamp-2.1", "lamp-3.1", "lamp-1.2"]
    assert found.circuits["feed"].join == joined


@pytest.mark.parametrize(
    ("written", "line", "says"),
    [
        ("  a: {count: 0, kind: lamp}\n", 4, "`count` is `0`"),
        ("  a: {count: 900, kind: lamp}\n", 4, "more than 500 things"),
        ("  a: {each: left, kind: lamp}\n", 4, "`each` is not a list"),
        ("  a: {each: {x: [1, 2], y: [3]}, kind: lamp}\n", 4, "lists of different lengths"),
        ("  a: {count: 2, each: [1], kind: lamp}\n", 4, "say the same thing twice"),
        ("  a: {count: 2, kind: lamp, name: <side>}\n", 4, "nothing is said of `<side>`"),
        ("  a-<side>: {each: {side: [b, b]}, kind: ground, at: box}\n", 4, "`a-b` is made here"),
        ("  a-2: {kind: ground, at: box}\n  a: {count: 2, kind: ground, at: box}\n", 5, "`a-2`"),
        ("  a: {count: 2, kind: ground, at: box,\n    colour: red}\n", 5, "no setting `colour`"),
    ],
)
def test_what_is_wrong_is_told_at_the_one_place(tmp_path, written, line, says):
    told = problems_of(tmp_path, LAMPS + written)
    assert any(says in p.what and p.where.line == line for p in told), told


def test_a_star_that_fits_nothing_is_told(tmp_path):
    (told,) = problems_of(tmp_path, "circuits:\n  a: {join: [battery.+, horn-*.1]}\n")
    assert told.what == "no device is called like `horn-*`"
    assert (told.where.line, told.where.column) == (2, 25)


def test_cavities_may_be_counted_in_rows_rings_and_odd_contacts(tmp_path):
    plugs = read(
        tmp_path,
        LAMPS + "plugs:\n"
        "  flat: {contact: pin-1.5, rows: [[A1 to A3, null], [08 to 10, B1]],\n"
        "    contacts: {A2 to A3: pin-2.8}}\n"
        "  round: {contact: pin-1.5, rings: [[1], [4 to 2]]}\n",
    ).plugs
    assert plugs["flat"].rows == [["A1", "A2", "A3", None], ["08", "09", "10", "B1"]]
    assert plugs["flat"].contacts == {"A2": "pin-2.8", "A3": "pin-2.8"}
    assert plugs["round"].rings == [["1"], ["4", "3", "2"]]


def test_cavities_that_are_no_range_are_told_once_at_their_row(tmp_path):
    lines = "plugs:\n  p: {contact: pin-1.5, rows: [[A1 to B3]]}\n"
    (told,) = problems_of(tmp_path, lines)
    assert (told.where.line, told.where.column) == (2, 33)
    assert told.what == "`A1 to B3` is no range of pins"
