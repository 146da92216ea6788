"""`buildbook show --against`: two ways to build a vehicle, with the figures of their exports."""

from __future__ import annotations

import json
import re
from collections import defaultdict
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import CliRunner

from buildbook.book.chapters import front
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from buildbook.cli import main
from buildbook.commands.against import _drops_told
from buildbook.parts.differences import Differences, Drop
from buildbook.pipeline import work_out
from tests.description.test_moves import trailer
from tests.once import undrawn


def run(*words: object):
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture
def moved(tmp_path) -> Path:
    """The trailer of the moves, with a lamp moved to where no rope leads yet."""
    return trailer(tmp_path, "{lamp: nose}")


def exported(folder: Path, variant: str, out: Path) -> dict:
    ended = run("export", folder, "--variant", variant, "--out", out)
    assert ended.exit_code == 0, ended.output
    return json.loads((out / "results.json").read_text())


def by_size(results: dict) -> dict[str, float]:
    found: defaultdict[str, float] = defaultdict(float)
    for wire in results["wires"]:
        found[wire["size"]] += wire["cut_length_m"]
    return found


def test_figures_are_those_that_an_export_of_each_gives(moved, tmp_path):
    ended = run("show", moved, "--variant", "v", "--against", "as written", "--format", "json")
    found = json.loads(ended.stdout)
    sides = [exported(moved, name, tmp_path / f"{n}") for n, name in enumerate(("as written", "v"))]
    assert (found["before"], found["now"]) == ("as written", "v")
    for size, lengths in found["wire_m"].items():
        assert lengths == [pytest.approx(by_size(side)[size]) for side in sides]
    assert found["total"] == [side["total"] for side in sides]
    for key, severity in (("errors", "error"), ("warnings", "warning")):
        counts = [sum(f["severity"] == severity for f in side["findings"]) for side in sides]
        assert [told[key] for told in found["findings"]] == counts


def test_what_is_more_is_the_rope_between_and_its_reserve(moved):
    told = run("show", moved, "--variant", "v", "--against", "as written").stdout.splitlines()
    (all_wire,) = [line.split() for line in told if line.startswith("All wire, m")]
    # feed and return: 750 mm of rope in place of 400 mm, and 15 % of the 750 mm, cut to whole mm
    assert float(all_wire[-1]) == pytest.approx(2 * (0.75 + 0.1125 - 0.4), abs=0.0021)
    assert "  front: B to tail, 400 mm" in told
    assert "  front: B to nose, 750 mm (zone frame)" in told
    assert told.index("Rope that falls away") < told.index(
        "To be measured; until then an estimate from the plan"
    )


def test_copper_is_area_times_length_and_the_lay_of_strands(moved):
    ended = run("show", moved, "--variant", "v", "--against", "as written", "--format", "json")
    found = json.loads(ended.stdout)
    # 8890 kg/m3 (IEC 60028), and 2 percent that strands are longer than their wire
    for side in (0, 1):
        sizes = ((float(size.split()[0]), m[side]) for size, m in found["wire_m"].items())
        kg = sum(mm2 * m for mm2, m in sizes) * 1.02 * 8.89e-3
        assert found["copper_kg"][side] == pytest.approx(kg, abs=2e-3)


def test_lengths_alone_are_counted_and_all_of_them_told_where_asked(moved):
    short = run("show", moved, "--variant", "v", "--against", "as written").stdout
    whole = run("show", moved, "--variant", "v", "--against", "as written", "--all").stdout
    (count,) = [line for line in short.splitlines() if "of another length" in line]
    lengths = [line for line in whole.splitlines() if " mm, was " in line]
    assert count.split()[1] == str(len(lengths)) == "2"
    assert "device lamp now at nose, was at tail" in short


def test_what_stays_where_something_moved_away_is_told(tmp_path):
    folder = trailer(tmp_path, "{panel: nose}")
    told = run("show", folder, "--variant", "v", "--against", "as written").stdout
    assert "At battery-box stay battery, G1: move them too" in told


def test_the_same_on_both_sides_and_idle_options_are_refused(moved):
    for words, says in (
        (("--against", "as written"), "that is what is shown"),
        (("lamp", "--against", "v"), "`lamp` has no meaning beside --against"),
        (("--all",), "--all goes with --against alone"),
    ):
        ended = run("show", moved, *words)
        assert ended.exit_code == 2 and says in ended.stderr
    ended = run("show", moved, "--against", "vv")
    assert ended.exit_code == 1 and "no variant `vv`" in ended.stderr


def test_a_variant_is_made_in_a_file_of_its_own_and_its_cover_says_what_moves(moved, tmp_path):
    words = ("--variant", "v", "--edition", "order", "--out", tmp_path / "out")
    ended = run("make", moved, *words)
    assert [path.name for path in (tmp_path / "out").glob("*.pdf")] == [
        "two-wire-trailer-v-order.pdf"
    ], ended.stderr
    result, _ = work_out(moved, variant="v")
    (cover,) = front.chapters(result, undrawn(result), of="some pages")
    vehicle = result.vehicle.description.vehicle
    text = chapter_html(cover, 1, (cover,), vehicle, PageMap(), result.vehicle.supply)
    said = " ".join(re.sub(r"<[^>]+>", " ", text).split())
    assert "What this variant changes: lamp moves to nose. Rope still to be measured" in said
    assert "measured: front: B – nose." in said


def test_pages_to_swap_are_those_of_the_vehicle_itself(moved):
    ended = run("make", moved, "--variant", "v", "--changed-since", "A")
    assert ended.exit_code == 2 and "has no meaning beside --variant v" in ended.stderr


def test_drops_that_find_no_room_are_counted():
    drops = tuple((Drop(f"lamp-{n}", "lit", 0.2, 0.5), None) for n in range(8))
    found = Differences({}, (0.0, 0.0), drops, (), (), 0, (), (), {})
    sides = [SimpleNamespace(name=name) for name in ("as written", "moved")]
    short, whole = (list(_drops_told(sides, found, everything)) for everything in (False, True))
    assert sum("lamp-" in line for line in short) == 6 and "2 loads" in short[-1]
    assert sum("lamp-" in line for line in whole) == 8 and "lamp-7" in whole[-1]
