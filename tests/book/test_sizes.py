"""The sums of the sizing chapter done again from what it prints, and from nothing else."""

from __future__ import annotations

import html
import math
import re

import pytest

from buildbook.book.chapters.sizes import chapters, limits_of
from buildbook.book.drawings import Drawings
from buildbook.book.words import PageMap, chapter_html
from buildbook.sizing.model import Limit


@pytest.fixture(scope="module")
def page(motorcycle):
    (chapter,) = chapters(motorcycle, Drawings())
    return chapter_html(chapter, 0, (chapter,), motorcycle.vehicle.description.vehicle, PageMap())


def text(cell: str) -> str:
    return html.unescape(re.sub(r"<[^>]+>", "", cell)).replace("−", "-").strip()


def rows(page: str, cells: int) -> dict[str, list[str]]:
    """Cells of the wires' rows that have so many, by wire."""
    found = {}
    for row in re.findall(r'<tr id="size-[^"]*">(.*?)</tr>', page, re.S):
        told = [text(cell) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row, re.S)]
        if len(told) == cells:
            found[told[0]] = told
    return found


def rated_c(page: str) -> dict[str, float]:
    """Rated temperature by family number."""
    plain = text(page)
    return {n: float(c) for n, c in re.findall(r"\[(\d)\] [^:\[]*?Trated (\d+),", plain)}


def altitude_factor(page: str) -> float:
    return float(re.search(r"kh = ([\d.]+) here", text(page))[1])


def test_every_wire_has_a_row(page, motorcycle):
    assert rows(page, 17).keys() | rows(page, 9).keys() == motorcycle.harness.wires.keys()
    assert not rows(page, 17).keys() & rows(page, 9).keys()


def test_allowed_current_and_copper_temperature_come_out_again(page):
    rated, height = rated_c(page), altitude_factor(page)
    assert rated and rows(page, 17)
    for cells in rows(page, 17).values():
        air, count, share = (float(x) for x in cells[5].split(" · "))
        bundle = 1 / math.sqrt(1 + 0.42 * (min(count, 33) - 1) * share)
        assert float(cells[7]) == pytest.approx(bundle, abs=0.001)
        may = float(cells[6]) * bundle * height
        if cells[8][0].isdigit():
            assert float(cells[8].split("/")[1].split()[0]) == pytest.approx(
                may, abs=0.02, rel=0.002
            )
        hottest = rated[re.search(r"\[(\d)\]", cells[1])[1]]
        copper = air + (hottest - air) * math.sqrt(float(cells[4]) / may)
        assert float(cells[9]) == pytest.approx(copper, abs=1.0)


def test_every_drop_comes_out_again(page):
    for at, cells in [(10, c) for c in rows(page, 17).values()] + [
        (7, c) for c in rows(page, 9).values()
    ]:
        length, ohm_per_m, copper = (
            (float(cells[2]), float(cells[3]) / 1000, float(cells[9]))
            if at == 10 else (float(cells[2]), float(cells[3]) / 1000, float(cells[6]))
        )  # fmt: skip
        amps = float(cells[at].split()[0])
        joints = float(cells[at].partition(";")[2] or 0)
        volts = amps * (ohm_per_m * length * (234.5 + copper) / 254.5 + 0.0002 * joints)
        assert float(cells[at + 1]) == pytest.approx(1000 * volts, rel=0.005, abs=0.11)


def test_every_way_adds_up(page):
    ways = re.findall(r'<p id="way-\d+">(.*?)</p>', page, re.S)
    assert ways
    for way in map(text, ways):
        parts, _, sums = way.partition(": ")[2].partition("Wires ")
        terms = [t.strip().rstrip(".") for t in parts.split(" + ")]
        wires = [float(t.split()[-1]) for t in terms if t.startswith("wire ")]
        others = [float(t.split()[-1]) for t in terms if not t.startswith("wire ")]
        told = re.match(r"([\d.]+), others ([\d.]+); allowed ([\d.]+), of it to the wires ([\d.]+)",
                        sums)  # fmt: skip
        assert sum(wires) == pytest.approx(float(told[1]), abs=0.06 * len(terms))
        assert sum(others) == pytest.approx(float(told[2]), abs=0.06 * len(terms))
        left = max(float(told[3]) - float(told[2]), float(told[3]) / 2)
        assert float(told[4].rstrip(".")) == pytest.approx(left, abs=0.6)


def test_each_source_is_told_once(page):
    told = re.search(r'<ul class="small halves">(.*?)</ul>', page, re.S)[1]
    items = [text(item) for item in re.findall(r"<li>(.*?)</li>", told, re.S)]
    assert len(items) == len(set(items)) > 10
    assert page.count("Churchill") == 1


def test_of_two_limits_of_a_name_the_harder_is_shown():
    loose = Limit("terminal", 1.0, 4.0, "mm2", "", "a")
    tight = Limit("terminal", 3.0, 4.0, "mm2", "", "b")
    amps = Limit("terminal", 5.0, 20.0, "A", "", "c")
    assert limits_of([loose, tight, amps]) == {"terminal": tight, "terminal A": amps}
    assert limits_of([tight, loose]) == {"terminal": tight}
