"""`buildbook price`: without the book's machinery, in three formats, variants side by side."""

from __future__ import annotations

import csv
import io
import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from buildbook.cli import main
from tests.conftest import TESTS

TWO_WIRE = TESTS / "vehicles" / "two-wire"


def run(*words: object):
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture
def priced(tmp_path) -> Path:
    """The trailer with three prices, one without a date, and a variant with a thicker wire."""
    car = tmp_path / "car"
    shutil.copytree(TWO_WIRE, car)
    told = (car / "vehicle.yaml").read_text(encoding="utf-8")
    # as a resistor it takes the current for which one size of wire does, and so one part
    told = told.replace("work lamp lights}", "work lamp lights, like: resistor}")
    (car / "vehicle.yaml").write_text(told, encoding="utf-8")
    (car / "parts.csv").write_text(
        "part,what,serves,supplier,price,pack,dated\n"
        'W,"Wire 1 mm2, 10 m",wire thin-wall 1 mm2,shed,6.00,10,2026-01-05\n'
        'W4,"Wire 4 mm2, 10 m",wire thin-wall 4 mm2,shed,15.00,10,2026-01-05\n'
        "T,Tie,tie,shed,0.05,1,\n"
    )
    (car / "more.yaml").write_text(
        "suppliers: {shed: {name: Shed, carriage: 2}}\n"
        "variants:\n  thick: {change: {circuits: {lamp feed: {size: 4 mm2}}}}\n"
        "  nowhere: {change: {circuits: {lamp feed: {size: 4 mn2}}}}\n"
    )
    return car


def test_price_leaves_the_page_maker_alone_in_every_format():
    code = (
        "import sys; from buildbook.cli import main; "
        f"[main(['price', {str(TWO_WIRE)!r}, *more], standalone_mode=False) for more in "
        "(['--format', 'text'], ['--format', 'csv'], ['--format', 'json'], ['--compare'])]; "
        "assert not {'weasyprint', 'jinja2', 'pypdf'} & set(sys.modules), 'imported'"
    )
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert ended.returncode == 0, ended.stderr


def test_text_names_supplier_sums_and_what_is_left_out(priced):
    said = run("price", priced).output
    assert "Shed (EUR)" in said
    assert "T  Tie (old price)" in said
    # Two reels 12.00 and ties at 0.05; carriage 2.00; no tax.
    ties = json.loads(run("price", priced, "--format", "json").stdout)["needs"]
    count = sum(n["quantity"] + n["spare"] + n["carried"] for n in ties if n["need"] == "tie")
    assert f"total {12 + 0.05 * count + 2:.2f} EUR" in said
    assert "label wire (no part serves it)" in said


def test_csv_has_a_row_a_line_and_no_price_that_is_not_there(priced):
    rows = list(csv.DictReader(io.StringIO(run("price", priced, "--format", "csv").stdout)))
    found = {row["need"]: row for row in rows}
    assert found["wire thin-wall 1 mm2 (BK, RD)"]["cost"] == "12.00"
    assert found["label wire"]["cost"] == found["label wire"]["pack_price"] == ""
    assert found["tie"]["price_is_old"] == "yes"


def test_variants_stand_side_by_side(priced):
    file = priced / "more.yaml"
    file.write_text(file.read_text().replace("4 mn2", "2.5 mm2"))
    ended = run("price", priced, "--compare", "--format", "json")
    assert ended.exit_code == 0, ended.output
    columns = {c["name"]: c for c in json.loads(ended.stdout)}
    assert list(columns) == ["as written", "thick", "nowhere"]
    assert columns["thick"]["wire_kg"] > columns["as written"]["wire_kg"]
    assert columns["thick"]["crimps"] == columns["as written"]["crimps"]
    text = run("price", priced, "--compare").stdout.splitlines()
    assert text[0].split() == ["as", "written", "thick", "nowhere"]
    assert [line for line in text if line.startswith("Mass of wire")]


def test_a_mistake_in_a_variant_is_told_with_its_place(priced):
    ended = run("price", priced, "--variant", "nowhere")
    assert ended.exit_code == 1
    assert "more.yaml:4:" in ended.stderr and "mn2" in ended.stderr


def test_one_variant_is_priced_by_its_name(priced):
    whole = json.loads(run("price", priced, "--variant", "thick", "--format", "json").stdout)
    assert any(need["need"].startswith("wire thin-wall 4 mm2") for need in whole["needs"])


def test_the_book_is_made_for_the_variant_that_the_vehicle_names(priced, tmp_path):
    file = priced / "vehicle.yaml"
    file.write_text(file.read_text().replace("  date:", "  variant: thick\n  date:"))
    run("make", priced, "--edition", "order", "--out", tmp_path / "out")
    (made,) = (tmp_path / "out").glob("*.pdf")
    said = " ".join(page.extract_text() for page in PdfReader(made).pages)
    assert "thick" in said
    assert "Wire 4 mm², 10 m" in said
