"""The sums of the sizing chapter done again from what it prints, and from nothing else."""

from __future__ import annotations

import html
import math
import re

import pytest

from buildbook.book.chapters.sizes import chapters, limits_of
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from buildbook.sizing.model import Limit
from tests.once import undrawn


@pytest.fixture(scope="module", params=["motorcycle", "lapwing"])
def result(request):
    return request.getfixturevalue(request.param)


@pytest.fixture(scope="module")
def page(result):
    (chapter,) = chapters(result, undrawn(result))
    filled = chapter_html(
        chapter, 0, (chapter,), result.vehicle.description.vehicle, PageMap(), result.vehicle.supply
    )
    return re.sub(r"[ \n]+", " ", filled)  # as a page shows it


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


FAMILY = r"\[(\d)\] [^:\[]*?Trated (\d+), Taged (\d+), Tover (\d+), Tshort (\d+)"


def family_c(page: str) -> dict[str, list[float]]:
    """Temperatures rated, aged, over and short, by family number."""
    return {n: [float(c) for c in told] for n, *told in re.findall(FAMILY, text(page))}


def conductors(page: str) -> dict[tuple[str, str, str], list[float]]:
    """S mm2, r ohm/m, W watts a metre, free-air amps, by size, family number and air."""
    found = {}
    table = page[page.index("<h2>Conductors") :]
    for row in re.findall(r"<tr>(.*?)</tr>", table, re.S):
        told = [text(cell) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row, re.S)]
        if len(told) == 7:
            size, mark = re.fullmatch(r"(.*?)(?: mm²)?\s\[(\d)\]", told[0]).groups()
            area, _, ohms, air, watts, amps = told[1:]
            found[size, mark, air] = [float(area), float(ohms) / 1000, float(watts), float(amps)]
    return found


def overload_a(shed, tau, ohm_per_m, hot, start, end, time):
    """The page's formula for a time, of one wire among cool ones."""
    left = math.exp(-time / tau)
    ohms = ohm_per_m * (234.5 + (start + end) / 2) / 254.5
    return math.sqrt(shed * ((end - hot) - (start - hot) * left) / (1 - left) / ohms)


def altitude_factor(page: str) -> float:
    return float(re.search(r"kh = ([\d.]+) here", text(page))[1])


def test_every_wire_has_a_row(page, result):
    assert rows(page, 18).keys() | rows(page, 9).keys() == result.harness.wires.keys()
    assert not rows(page, 18).keys() & rows(page, 9).keys()


def test_allowed_current_and_copper_temperature_come_out_again(page):
    rated, height = rated_c(page), altitude_factor(page)
    assert rated and rows(page, 18)
    for cells in rows(page, 18).values():
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
    for at, cells in [(10, c) for c in rows(page, 18).values()] + [
        (7, c) for c in rows(page, 9).values()
    ]:
        length, ohm_per_m, copper = (
            (float(cells[2]), float(cells[3]) / 1000, float(cells[9]))
            if at == 10
            else (float(cells[2]), float(cells[3]) / 1000, float(cells[6]))
        )
        amps = float(cells[at].split()[0])
        joints = float(cells[at].partition(";")[2] or 0)
        volts = amps * (ohm_per_m * length * (234.5 + copper) / 254.5 + 0.0002 * joints)
        assert float(cells[at + 1]) == pytest.approx(1000 * volts, rel=0.005, abs=0.11)


def test_every_free_air_current_comes_out_again(page):
    families = family_c(page)
    assert conductors(page)
    for (_, mark, _), (_, ohms, watts, amps) in conductors(page).items():
        hot = ohms * (234.5 + families[mark][0]) / 254.5
        assert amps == pytest.approx(math.sqrt(watts / hot), rel=0.004)


def test_what_a_wire_stands_before_its_fuse_opens_comes_out_again(page):
    families, known, seen = family_c(page), conductors(page), 0
    for cells in rows(page, 18).values():
        size, mark = re.fullmatch(r"(.*) \[(\d)\]", cells[1]).groups()
        air = cells[5].split(" · ")[0]
        area, ohms, watts, _ = known[size, mark, air]
        rated, aged, over, _ = families[mark]
        hot, start = map(float, cells[13].split(" · "))
        shed = watts / (rated - float(air))
        tau = 3.45 * area / shed
        told = re.match(r"\S+ ([\d.]+)/([\d.]+) .*?; ([\d.]+), (∞|[\d.]+)", cells[14])
        if told:
            if told[4] == "∞":
                amps = math.sqrt(shed * (aged - hot) / (ohms * (234.5 + aged) / 254.5))
            else:
                amps = overload_a(shed, tau, ohms, hot, start, over, float(told[4]))
            assert float(told[2]) * float(told[3]) == pytest.approx(amps, rel=0.08), cells
            seen += 1
        if cells[8].startswith("crank"):
            may = float(cells[8].split("/")[1].split()[0])
            amps = overload_a(shed, tau, ohms, hot, hot, rated, 30.0)
            assert may == pytest.approx(amps, rel=0.08, abs=0.5), cells
            seen += 1
    assert seen


def test_what_a_dead_short_may_let_through_comes_out_again(page):
    families, known, seen = family_c(page), conductors(page), 0
    for cells in rows(page, 18).values():
        if "/" not in cells[15]:
            continue
        size, mark = re.fullmatch(r"(.*) \[(\d)\]", cells[1]).groups()
        area = known[size, mark, cells[5].split(" · ")[0]][0]
        start = float(cells[13].split(" · ")[1])
        assert start >= float(cells[9]) - 0.06
        k_squared = 50927 * math.log((234.5 + families[mark][3]) / (234.5 + start))
        told = float(cells[15].split("/")[1].split()[0])
        assert told == pytest.approx(k_squared * area**2, rel=0.002, abs=0.6)
        seen += 1
    assert seen


def test_how_long_a_cable_without_a_fuse_lasts_comes_out_again(page):
    families, known, seen = family_c(page), conductors(page), 0
    for cells in rows(page, 18).values():
        told = re.match(r"none; a dead short of (\d+) A harms it in ([\d.]+)\ss", cells[14])
        if told:
            size, mark = re.fullmatch(r"(.*) \[(\d)\]", cells[1]).groups()
            area = known[size, mark, cells[5].split(" · ")[0]][0]
            start = float(cells[13].split(" · ")[1])
            k_squared = 50927 * math.log((234.5 + families[mark][3]) / (234.5 + start))
            lasts = k_squared * area**2 / float(told[1]) ** 2
            assert float(told[2]) == pytest.approx(lasts, rel=0.01, abs=0.5)
            seen += 1
    assert seen


def test_what_every_fuse_may_carry_for_ever_comes_out_again(page):
    table = page[page.index("<h2>Fuses") : page.index("<h2>Opening times")]
    seen = 0
    for row in re.findall(r"<tr>(.*?)</tr>", table, re.S):
        cells = [text(cell) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row, re.S)]
        if cells:
            rating = float(cells[1].split(" A")[0])
            air, factor = (float(x.strip(" °C")) for x in cells[2].split(","))
            assert factor == pytest.approx(1 - 0.0015 * (air - 23), abs=0.0001)
            may = float(cells[4].split("/")[1].split()[0])
            assert may == pytest.approx(0.75 * rating * factor, abs=0.006)
            seen += 1
    assert seen


def test_every_way_adds_up(page):
    ways = re.findall(r'<p id="way-(\d+)">(.*?)</p>', page, re.S)
    assert ways
    whole = {}
    for number, way in ((number, text(way)) for number, way in ways):
        parts, _, sums = way.partition(": ")[2].partition("Wires ")
        terms = [t.strip().rstrip(".") for t in parts.split(" + ")]
        wires = [float(t.split()[-1]) for t in terms if t.startswith("wire ")]
        others = [float(t.split()[-1]) for t in terms if not t.startswith("wire ")]
        told = re.match(r"([\d.]+), others ([\d.]+); allowed (\d+)", sums)
        assert sum(wires) == pytest.approx(float(told[1]), abs=0.06 * len(terms))
        assert sum(others) == pytest.approx(float(told[2]), abs=0.06 * len(terms))
        whole[number] = float(told[1]) + float(told[2]), float(told[3])
    table = page[page.index("<h2>Wires") : page.index("<h2>Ways")]
    quoted = re.findall(r"<td>\s*(\d+): (\d+)/(\d+)", table)
    assert {number for number, *_ in quoted} == set(whole)
    for number, lost, allowed in quoted:
        assert (float(lost), float(allowed)) == pytest.approx(whole[number], abs=0.7)


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
