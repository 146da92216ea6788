"""The same hostile names, read back from every place that they are written to."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildbook.book.templates import author_text, css_string
from buildbook.cli import main
from buildbook.commands.print_messages import visible
from buildbook.export.tables import table
from buildbook.files.names import file_name, file_names
from tests.book_of import texts_of
from tests.conftest import TESTS

VEHICLE = 'Dad\'s "50%" <b>&amp; \\x27'
REVISION = "A'<1>"
LAMP = "</style><script>x</script>"
CIRCUITS = {
    "lamp feed": "=1+1",
    "lamp return": "@SUM(A1)",
    "panel feed": "-2+3 {{ 7*7 }}",
    "battery ground": "+cmd|' /C calc'!A0",
}
STATES = ("night-1", "night 1", "NIGHT 1", "ночь", "день", "вечер", "con", "#", "*.end $(id)")


def hostile(folder: Path) -> Path:
    """The two-wire trailer with names that mean something to what they are written to."""
    text = (TESTS / "vehicles" / "two-wire" / "vehicle.yaml").read_text(encoding="utf-8")
    text = text.replace("name: Two-wire trailer", f"name: {json.dumps(VEHICLE)}")
    text = text.replace("date:", f"revision: {json.dumps(REVISION)}\n  date:", 1)
    text = text.replace("name: Work lamp\n    at", f"name: {json.dumps(LAMP)}\n    at")
    for before, after in CIRCUITS.items():
        text = text.replace(f"  {before}: {{join", f"  {json.dumps(after)}: {{join")
    shown = "".join(f"  {json.dumps(state)}: {{share: 10 %}}\n" for state in STATES)
    text = re.sub(r"  lit: .*\n", lambda _found: shown, text)
    folder.mkdir()
    (folder / "vehicle.yaml").write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def exported(tmp_path_factory) -> Path:
    base = tmp_path_factory.mktemp("hostile")
    out = base / "out"
    ended = CliRunner().invoke(main, ["export", str(hostile(base / "car")), "--out", str(out)])
    assert ended.exit_code == 0, ended.output
    return out


def test_heads_and_feet_of_pages_print_names_as_written(tmp_path):
    car, out = hostile(tmp_path / "car"), tmp_path / "out"
    words = ["make", str(car), "--out", str(out), "--edition", "ropes"]
    ended = CliRunner().invoke(main, words)
    assert ended.exit_code == 0, ended.output
    (pdf,) = out.glob("*.pdf")
    assert not pdf.name.startswith(".") and re.fullmatch(r"[\w.+-]+", pdf.name)
    pages = texts_of(pdf)
    for page in pages:
        assert VEHICLE in page
        assert f"Revision {REVISION} ·" in page


def test_a_style_sheet_holds_names_as_strings_alone():
    for name in (VEHICLE, LAMP, '"; } * { display: none', "</style>", "a\\"):
        written = str(css_string(name))
        assert re.fullmatch(r'"(?:[\w .,:;()/+–-]|\\[0-9a-f]+ )*"', written)
        codes = re.sub(r"\\([0-9a-f]+) ", lambda m: chr(int(m[1], 16)), written[1:-1])
        assert codes == name


def test_every_drawing_is_xml_and_says_names_as_written(exported):
    lettered = []
    for path in (exported / "drawings").glob("*.svg"):
        root = ET.parse(path).getroot()
        lettered += ["".join(text.itertext()) for text in root.iter() if text.tag.endswith("text")]
        assert not [tag for tag in root.iter() if tag.tag.endswith("script")]
    assert any(text.startswith(LAMP[:10]) for text in lettered)


def test_no_cell_of_a_table_is_a_formula(exported):
    cells = []
    for path in exported.glob("*.csv"):
        for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8"))):
            cells += row
    for cell in cells:
        assert not cell.startswith(("=", "@", "+", "-")) or re.fullmatch(r"[-+]?[\d.]+", cell)
    for name in CIRCUITS.values():
        assert f"'{name}" in cells


def test_numbers_of_a_table_stay_numbers_and_names_beside_them_text():
    assert table([{"=a": "-1.5", "b": -2, "c": "-1+2", "d": " =1"}]) == (
        "'=a,b,c,d\n-1.5,-2,'-1+2,' =1\n"
    )


def test_a_whole_number_of_a_table_is_written_alike_however_it_was_worked_out():
    assert table([{"a": -0.0, "b": 4.0, "c": 4, "d": 0.5}]) == "a,b,c,d\n0,4,4,0.5\n"


def test_each_state_has_a_netlist_of_its_own_that_the_simulator_runs(exported):
    decks = sorted(path.name for path in (exported / "network").iterdir())
    assert len(decks) == len(STATES)
    assert len({name.casefold() for name in decks}) == len(STATES)
    assert not [name for name in decks if name.startswith(".") or name.lower() == "con.cir"]
    for deck in (exported / "network").iterdir():
        run = subprocess.run(["ngspice", "-b", deck], capture_output=True, text=True, cwd=exported)
        assert re.search(r"v\(n\d+\) = \d", run.stdout), run.stdout[-500:] + run.stderr[-500:]


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.links: list[str] = []
        self.text = ""

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.links += [value or "" for name, value in attrs if name == "href"]

    def handle_data(self, data):
        self.text += data


LINKS = (
    "[a](../../../etc/passwd)",
    "[b](file:///etc/passwd)",
    "[c](javascript:alert)",
    "[d](notes.md)",
    "[e](//example.org/x)",
    "[f](data:text/html,x)",
    "<file:///etc/passwd>",
    "[g](https:/etc/passwd)",
)


@pytest.mark.parametrize("written", LINKS)
def test_a_link_that_does_not_lead_to_the_web_is_text(written):
    read = _Tags()
    read.feed(str(author_text(written)))
    assert "a" not in read.tags and read.links == []
    assert written in read.text


def test_a_link_to_the_web_or_to_mail_is_one():
    read = _Tags()
    read.feed(str(author_text("[a](https://example.org/b) <mailto:a@example.org> <b>x</b>")))
    assert read.links == ["https://example.org/b", "mailto:a@example.org"]
    assert "b" not in read.tags and "<b>x</b>" in read.text


def test_a_terminal_is_told_no_escape_and_no_turn_of_the_line(tmp_path):
    (tmp_path / "vehicle.yaml").write_text('vehicle: {"na\\u202eme\\e[2J": x}\n', encoding="utf-8")
    (tmp_path / "\x1b[2Jb.yaml").write_text("a: [\n", encoding="utf-8")
    ended = CliRunner().invoke(main, ["check", str(tmp_path)])
    assert ended.exit_code == 1
    assert "\x1b" not in ended.output and "\u202e" not in ended.output
    assert "\\x1b[2Jb.yaml:" in ended.output
    assert visible("a\x1b]0;x\x07\u202e") == "a\\x1b]0;x\\x07\\u202e"


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("night 1", "night-1"),
        ("ночь", "ночь"),
        (".hidden", "hidden"),
        ("..", "unnamed"),
        ("", "unnamed"),
        ("///", "unnamed"),
        ("con", "con-"),
        ("COM1.old", "COM1-.old"),
        ("e\u0301", "é"),
        ('a/b\\c:d*e?f"g<h>i|j', "a-b-c-d-e-f-g-h-i-j"),
        ("trailing. ", "trailing"),
    ],
)
def test_a_name_is_one_that_a_file_can_have_everywhere(text, name):
    assert file_name(text) == name


def test_names_of_files_are_short_enough_with_letters_of_several_bytes():
    assert len(file_name("ж" * 4000).encode()) <= 120


def test_names_that_a_disk_would_not_tell_apart_get_numbers():
    names = file_names(["night 1", "night-1", "Night 1", "night 1-2"])
    assert list(names.values()) == ["night-1", "night-1-2", "Night-1-3", "night-1-2-2"]
