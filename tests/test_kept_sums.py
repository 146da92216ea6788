"""Sums kept in the cache folder: the same as worked out, found by what they follow from alone."""

from __future__ import annotations

import io
import pickle
import re
import shutil
import zlib
from dataclasses import replace
from pathlib import Path

import pytest

from buildbook import pipeline
from buildbook.book.workers import EARLY, drawn
from buildbook.description.models import Description
from buildbook.files import kept, kept_objects
from buildbook.files.kept_objects import find, once, put
from buildbook.files.starter import write_starter
from buildbook.harness import packing
from buildbook.pipeline import held_by, look_over, price_out, work_out
from buildbook.problem import Where
from buildbook.vehicle.plain import UNREAD, plain, sums_key
from tests.conftest import TESTS
from tests.once import drawings_of

VEHICLES = TESTS / "vehicles"
SUMS = ("build_harness", "choose", "find_faults", "power_up", "unplugged")


def said_by(result) -> dict[str, object]:
    """All that it holds but the readings, arrays of volts of the network."""
    return {name: held for name, held in held_by(result).items() if name != "readings"}


def refuse_sums(monkeypatch) -> None:
    def no_sum(*_arguments, **_named):
        raise AssertionError("worked out anew")

    for name in SUMS:
        monkeypatch.setattr(pipeline, name, no_sum)


@pytest.fixture
def starter_folder(tmp_path) -> Path:
    write_starter(tmp_path / "car")
    return tmp_path / "car"


@pytest.mark.parametrize("name", ["two_wire", "positive_earth", "two_batteries", "motorcycle"])
def test_what_was_kept_is_what_was_worked_out(name, request, monkeypatch):
    worked_out = request.getfixturevalue(name)
    folder = VEHICLES / name.replace("_", "-")
    filled, _ = work_out(folder, keep=True)
    refuse_sums(monkeypatch)
    read, _ = work_out(folder, keep=True)
    checked, _ = look_over(folder, keep=True)
    assert read is not None and said_by(filled) == said_by(read) == said_by(worked_out)
    assert checked is not None and checked.findings == worked_out.findings


def test_without_leave_nothing_is_kept(cache_folder):
    work_out(VEHICLES / "two-wire")
    look_over(VEHICLES / "two-wire")
    price_out(VEHICLES / "two-wire")
    assert not cache_folder.exists()


def lines(path: Path, pattern: str, other: str) -> None:
    text, count = re.subn(pattern, other, path.read_text("utf-8"), count=1)
    assert count == 1, path
    path.write_text(text, "utf-8")


def test_a_price_needs_no_sum_again_and_is_on_the_bill(starter_folder, monkeypatch):
    work_out(starter_folder, keep=True)
    prices = starter_folder / "parts.csv"
    head, first, *rest = prices.read_text("utf-8").splitlines()
    at = head.split(",").index("price")
    cells = first.split(",")
    cells[at] = "987.65"
    prices.write_text("\n".join([head, ",".join(cells), *rest]) + "\n", "utf-8")
    worked_out, _ = work_out(starter_folder)
    refuse_sums(monkeypatch)
    read, _ = work_out(starter_folder, keep=True)
    assert read is not None and said_by(read) == said_by(worked_out)
    assert "987.65" in str(read.vehicle.description.parts)


def test_a_note_and_a_waiver_need_no_sum_again(tmp_path, monkeypatch):
    car = tmp_path / "car"
    shutil.copytree(VEHICLES / "two-wire", car)
    before, _ = work_out(car, keep=True)
    assert before is not None
    finding = before.findings[0]
    (car / "more.yaml").write_text(
        f"waivers:\n  - {{rule: {finding.rule}, about: {finding.about}, because: seen to}}\n"
        "notes:\n  - {file: words.md, with: system lighting}\n",
        "utf-8",
    )
    (car / "words.md").write_text("# Words\n\nOf the trailer.\n", "utf-8")
    worked_out, problems = work_out(car)
    assert not problems
    refuse_sums(monkeypatch)
    read, _ = work_out(car, keep=True)
    assert read is not None and said_by(read) == said_by(worked_out)
    assert read.vehicle.notes and read.findings != before.findings


def test_a_length_is_worked_out_anew(tmp_path):
    car = tmp_path / "car"
    shutil.copytree(VEHICLES / "two-wire", car)
    before, _ = look_over(car, keep=True)
    path = next(p for p in car.glob("*.yaml") if "length:" in p.read_text("utf-8"))
    lines(path, r"length: [\d.]+ m?m", "length: 7654 mm")
    after, _ = look_over(car, keep=True)
    assert before is not None and after is not None
    assert said_by(after) == said_by(look_over(car)[0])
    lengths = [sum(w.cut_m for w in one.harness.wires.values()) for one in (before, after)]
    assert lengths[0] != lengths[1]


def test_another_line_of_the_same_file_is_another_place_to_point_at(tmp_path):
    """What is kept holds places of the description: they must not be those of before."""
    car = tmp_path / "car"
    shutil.copytree(VEHICLES / "two-wire", car)
    look_over(car, keep=True)
    for path in car.glob("*.yaml"):
        path.write_text("# one line more\n" + path.read_text("utf-8"), "utf-8")
    assert said_by(look_over(car, keep=True)[0]) == said_by(look_over(car)[0])


@pytest.mark.parametrize("key", sorted(set(Description.model_fields) - set(UNREAD)))
def test_every_other_part_of_the_description_counts(key, motorcycle):
    vehicle = motorcycle.vehicle
    marked = vehicle.description.model_copy(update={key: "otherwise"})
    assert sums_key(replace(vehicle, description=marked)) != sums_key(vehicle)


def test_the_parts_that_are_left_out_are_parts_of_the_description(motorcycle):
    assert set(UNREAD) < set(Description.model_fields)
    vehicle = motorcycle.vehicle
    for key, empty in UNREAD.items():
        marked = vehicle.description.model_copy(update={key: "otherwise"})
        assert sums_key(replace(vehicle, description=marked)) == sums_key(vehicle)
        assert getattr(plain(vehicle).description, key) == empty
    built = replace(vehicle, as_built="otherwise")
    assert sums_key(built) != sums_key(vehicle)
    assert sums_key(replace(vehicle, positions=None)) == ""


@pytest.mark.parametrize("name", ["two_wire", "motorcycle"])
def test_a_kept_drawing_is_the_one_of_the_whole_description(name, request, cache_folder):
    """The drawings of the book are drawn of the vehicle with its notes and prices, here."""
    result = request.getfixturevalue(name)
    drawings = drawings_of(result)
    for kinds in EARLY:
        early = drawn(kinds, result, "key")
        assert drawn(kinds, result, "key") == early
        for kind, sheets in early.items():
            of_whole = {subject: drawings.of(kind, subject) for subject in sheets}
            assert {s: tuple(d.svg for d in sheets[s]) for s in sheets} == {
                s: tuple(d.svg for d in of_whole[s]) for s in sheets
            }
    assert list(cache_folder.iterdir())


RAN: list[str] = []


def ran() -> str:
    RAN.append("ran")
    return "ran"


class Calls:
    """Read by an ordinary reader it runs a function."""

    def __init__(self, function, *words) -> None:
        self.called = function, words

    def __reduce__(self):
        return self.called


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"x" * 100,
        zlib.compress(b""),
        zlib.compress(b"\x80\x04cos\nsystem\n"),
        zlib.compress(pickle.dumps(Calls(ran))),
        zlib.compress(pickle.dumps(Calls(print, "said"))),
        zlib.compress(pickle.dumps(Calls(kept.forget))),
        zlib.compress(pickle.dumps(Calls(getattr, "x", "upper"))),
        zlib.compress(pickle.dumps(Path("x"))),
    ],
)
def test_what_is_no_data_is_made_anew_and_runs_nothing(content, capsys):
    RAN.clear()
    kept.keep("key", b"beside")
    kept.keep("other", content)
    assert once("other", lambda: "made") == "made"
    assert find("other") == "made"
    assert kept.find("key") == b"beside"
    assert not RAN and not capsys.readouterr().out


def test_an_empty_name_keeps_nothing(cache_folder):
    assert [once("", lambda: 1), once("", lambda: 2)] == [1, 2]
    assert not cache_folder.exists()


def test_packings_of_an_earlier_run_are_known(monkeypatch):
    monkeypatch.setattr(packing, "_KNOWN", {})
    first, _ = look_over(VEHICLES / "positive-earth", keep=True)
    found = packing.known()
    assert found
    monkeypatch.setattr(packing, "_KNOWN", {})

    def no_packing(_radii):
        raise AssertionError("packed anew")

    monkeypatch.setattr(packing, "_packed", no_packing)
    second, _ = look_over(VEHICLES / "positive-earth", keep=True)
    assert said_by(second) == said_by(first)
    assert packing.known().keys() >= found.keys()


def test_no_more_packings_are_known_than_there_is_room_for(monkeypatch):
    monkeypatch.setattr(packing, "_KNOWN", {})
    monkeypatch.setattr(packing, "MOST_KNOWN", 3)
    for radius in (1.0, 2.0, 3.0, 4.0):
        packing.pack([radius])
    assert list(packing.known()) == [(2.0,), (3.0,), (4.0,)]
    packing.know({(9.0,): (9.0, ((0.0, 0.0),))})
    assert (9.0,) not in packing.known()


def test_the_reader_knows_no_class_but_data(monkeypatch):
    reader = kept_objects._Reader
    made = Where("vehicle.yaml", 1, 1)
    put("where", {made, made})
    assert find("where") == {made}
    for module, name in (
        ("os", "system"),
        ("buildbook.files.kept", "forget"),
        ("builtins", "eval"),
    ):
        with pytest.raises(pickle.UnpicklingError):
            reader(io.BytesIO()).find_class(module, name)


def test_a_bill_is_chosen_anew_for_other_prices_alone(starter_folder, monkeypatch):
    first, _ = price_out(starter_folder, keep=True)

    def no_choice(*_arguments):
        raise AssertionError("chosen anew")

    with monkeypatch.context() as patch:
        patch.setattr(pipeline, "price", no_choice)
        again, _ = price_out(starter_folder, keep=True)
    assert first is not None and again is not None and again.bill == first.bill
    stock = starter_folder / "parts.csv"
    text = stock.read_text("utf-8")
    relay = next(line for line in text.splitlines() if ",relay," in line)
    stock.write_text(text.replace(relay + "\n", ""), "utf-8")
    fewer, _ = price_out(starter_folder, keep=True)
    assert fewer is not None and fewer.bill == price_out(starter_folder)[0].bill
    assert fewer.bill != first.bill
