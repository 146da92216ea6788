"""Every symptom is found by what is seen: read off the first table of the printed chapter."""

from __future__ import annotations

import re

import pytest

from buildbook.book.chapters import troubleshooting
from buildbook.book.page_numbers import PageMap
from buildbook.book.symptom_headings import device_titles
from buildbook.book.templates import chapter_html
from tests.once import undrawn

CELL = re.compile(r"<td[^>]*>(.*?)</td>", re.DOTALL)


def table_of(result) -> list[list[str]]:
    """The rows of the table as text, cell by cell."""
    (chapter,) = troubleshooting.chapters(result, undrawn(result))
    vehicle = result.vehicle
    html = chapter_html(
        chapter, 1, (chapter,), vehicle.description.vehicle, PageMap(), vehicle.supply
    )
    table = html[html.index('<table class="find">') :].partition("</table>")[0]
    heads = [re.sub("<[^>]+>", "", h) for h in re.findall(r"<th>(.*?)</th>", table)]
    rows = [
        [" ".join(re.sub("<[^>]+>", "", cell).split()) for cell in CELL.findall(row)]
        for row in re.findall(r"<tr[^>]*>(.*?)</tr>", table, re.DOTALL)
    ]
    return [heads, *rows]


def found_by(result) -> dict[str, dict[str, set[int]]]:
    """What is named -> head of the column -> numbers of trees, over all groups."""
    heads, *rows = table_of(result)
    found: dict[str, dict[str, set[int]]] = {}
    for name, *cells in (row for row in rows if len(row) == len(heads)):
        for head, cell in zip(heads[1:], cells, strict=True):
            numbers = {int(n) for n in re.findall(r"\d+", cell)}
            found.setdefault(name, {}).setdefault(head, set()).update(numbers)
    return found


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_each_symptom_of_few_devices_is_found_by_each_of_them(vehicle, request):
    result = request.getfixturevalue(vehicle)
    found, asked = found_by(result), 0
    groups = troubleshooting.printed(result, troubleshooting.grouped(result))
    symptoms = {s.id: s for s in result.faultfinding.symptoms}
    for title, entries in groups:
        for entry in entries if title != troubleshooting.MUCH else ():
            for anchor in entry.tree.anchors:
                symptom = symptoms[anchor]
                for kind, names in device_titles(result, symptom.effects).items():
                    opens = kind == "dead" and (symptom.blows or symptom.trips)
                    head = "Dead, and a fuse or output opens" if opens else kind.capitalize()
                    for name in names:
                        cells = found[name]
                        assert entry.number in cells.get(head, cells["Otherwise"]), (name, head)
                        asked += 1
    assert asked >= 1


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_no_tree_is_left_out_of_the_table(vehicle, request):
    result = request.getfixturevalue(vehicle)
    listed = {
        n for cells in found_by(result).values() for numbers in cells.values() for n in numbers
    }
    groups = troubleshooting.printed(result, troubleshooting.grouped(result))
    assert {entry.number for _, entries in groups for entry in entries} <= listed


def test_what_fails_alone_is_told_from_what_fails_with_others(motorcycle):
    """Set in bold, so that the table need not be read with the trees."""
    (chapter,) = troubleshooting.chapters(motorcycle, undrawn(motorcycle))
    rows = [row for group in chapter.context["finder"] if not group.many for row in group.rows]
    entries = [e for row in rows if row.name == "Front coil" for e in row.cells.get("dead", ())]
    alone = {entry.number: entry.alone for entry in entries}
    groups = troubleshooting.printed(motorcycle, troubleshooting.grouped(motorcycle))
    headings = {entry.number: entry.tree.headings[0] for _, those in groups for entry in those}
    assert {headings[n] for n, only in alone.items() if only} == {"Front coil dead"}
    assert any("and Rear coil" in headings[n] for n, only in alone.items() if not only)
