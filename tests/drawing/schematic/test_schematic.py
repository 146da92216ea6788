"""Schematics read back from their SVG: complete, legible, and no line taken for another."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from itertools import combinations
from random import Random

import pytest

from buildbook.drawing.schematic.layout import lay_out
from buildbook.drawing.schematic.layout_model import Footprint, Grid, Link, Port
from buildbook.drawing.schematic.system_elements import label_of, wires_of
from buildbook.drawing.schematic.system_sheets import schematics as draw
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.lettering import label_box, text_width_mm, wrapped
from buildbook.drawing.shared.model import SHEET_MM, Drawing
from buildbook.drawing.shared.zones import BAND_MM
from buildbook.result import Result
from tests.drawing.ends import end_faults
from tests.once import schematics_of

SVG = "{http://www.w3.org/2000/svg}"
CAPITAL_SHARE = 0.711
"""Height of Roboto's capitals by its size (1456 of 2048 units, the font's OS/2 table)."""
VEHICLES = ("two_wire", "motorcycle", "lapwing", "one_system", "long_names")


@pytest.fixture(scope="session")
def one_system(lapwing: Result) -> Result:
    """Lapwing with everything in a single system."""
    vehicle = lapwing.vehicle
    circuits = {id_: replace(c, system="control") for id_, c in vehicle.circuits.items()}
    return replace(lapwing, vehicle=replace(vehicle, circuits=circuits))


@pytest.fixture(scope="session")
def long_names(motorcycle: Result) -> Result:
    """The motorcycle with titles, colours and sizes as long as they come."""
    vehicle = motorcycle.vehicle
    devices = {
        id_: replace(d, title="An exceedingly long-winded title of Widthwise Words " * 3)
        for id_, d in vehicle.devices.items()
    }
    sized = {id_: replace(s, label="AWG 4/0") for id_, s in motorcycle.sizing.wires.items()}
    return replace(
        motorcycle,
        vehicle=replace(vehicle, devices=devices),
        sizing=replace(motorcycle.sizing, wires=sized),
    )


@pytest.fixture(params=VEHICLES)
def result(request: pytest.FixtureRequest) -> Result:
    return request.getfixturevalue(request.param)


def sheets_of(result: Result) -> list[Drawing]:
    """Each once, though several systems may share one."""
    return list({d.name: d for sheets in schematics_of(result).values() for d in sheets}.values())


def texts(drawing: Drawing) -> list[tuple[str, Box, float, str]]:
    """(text, box, size, class) of every line of lettering."""
    found = []
    for node in ElementTree.fromstring(drawing.svg).iter(f"{SVG}text"):
        size = float(node.get("font-size", "0"))
        turn = node.get("transform", "")
        assert turn == "" or turn.startswith("rotate(-90 ")
        box = label_box(
            float(node.get("x", "0")),
            float(node.get("y", "0")),
            node.text or "",
            size,
            node.get("text-anchor", "start"),
            node.get("font-weight") == "bold",
            bool(turn),
        )
        found.append((node.text or "", box, size, node.get("class", "")))
    return found


def test_a_device_that_is_not_there_yet_says_so_beside_it(lapwing):
    later = [d for d in lapwing.vehicle.devices.values() if d.written.fitted == "later"]
    said = [text for sheet in sheets_of(lapwing) for text, *_ in texts(sheet)]
    assert later and said.count("not fitted yet") >= len(later)  # once on each of its sheets


def lines(drawing: Drawing, class_: str) -> dict[str, list[tuple[float, float]]]:
    """Points of the core line of every group of a class, by the group's id."""
    found = {}
    for group in ElementTree.fromstring(drawing.svg).iter(f"{SVG}g"):
        if group.get("class") == class_:
            line = [n for n in group.iter(f"{SVG}polyline") if n.get("class") == "core"][0]
            pairs = re.findall(r"(-?[\d.]+),(-?[\d.]+)", line.get("points", ""))
            found[group.get("id", "")] = [(float(x), float(y)) for x, y in pairs]
    return found


def stretches(points: list[tuple[float, float]]) -> list[Box]:
    """The straight stretches of a line as boxes without width."""
    return [
        Box(min(a[0], b[0]), min(a[1], b[1]), abs(a[0] - b[0]), abs(a[1] - b[1]))
        for a, b in zip(points, points[1:], strict=False)
        if a != b
    ]


def test_every_wire_of_a_system_is_drawn_exactly_once(result: Result) -> None:
    """On a sheet of its system; small systems may share one."""
    drawn = schematics_of(result)
    systems = result.vehicle.description.systems
    wired = {system: Counter(w.id for w in wires_of(result, system)) for system in systems}
    for system, wires in wired.items():
        found = _drawn(drawn.get(system, ()))
        assert Counter({wire: found[wire] for wire in wires}) == wires
    assert _drawn(sheets_of(result)) == sum(wired.values(), Counter())


def _drawn(sheets: Iterable[Drawing]) -> Counter[str]:
    return Counter(
        id_.removeprefix("wire-").removesuffix(f"-{sheet.name}")
        for sheet in sheets
        for id_ in lines(sheet, "wire")
    )


def test_every_wire_is_drawn_once_between_its_own_pins(result: Result) -> None:
    assert end_faults(result, schematics_of(result)) == []


def test_every_wire_carries_its_number_size_and_colour(result: Result) -> None:
    sheets = sheets_of(result)
    found = Counter(t for sheet in sheets for t, _, _, c in texts(sheet) if c == "wire-label")
    systems = result.vehicle.description.systems
    wires = [wire for system in systems for wire in wires_of(result, system)]
    assert found == Counter(t for wire in wires for t in label_of(result, wire))


def test_no_two_pieces_of_lettering_overlap(result: Result) -> None:
    for sheet in sheets_of(result):
        for (one, a, _, _), (other, b, _, _) in combinations(texts(sheet), 2):
            assert not a.overlaps(b, -0.05), f"{sheet.name}: {one!r} over {other!r}"


def test_lettering_is_at_least_1_8_mm_high(result: Result) -> None:
    """ISO 3098: the smallest lettering has capitals of 1.8 mm."""
    for sheet in sheets_of(result):
        assert min(size for _, _, size, _ in texts(sheet)) * CAPITAL_SHARE >= 1.8


def test_everything_is_inside_the_frame(result: Result) -> None:
    inside = Box(BAND_MM, BAND_MM, SHEET_MM[0] - 2 * BAND_MM, SHEET_MM[1] - 2 * BAND_MM)
    for sheet in sheets_of(result):
        assert (sheet.width_mm, sheet.height_mm) == SHEET_MM
        for text, box, _, class_ in texts(sheet):
            room = Box(0, 0, *SHEET_MM) if class_ == "zone" else inside
            assert room.holds(box), f"{sheet.name}: {text!r} at {box}"
        for id_, points in {**lines(sheet, "wire"), **lines(sheet, "goes-on")}.items():
            for x, y in points:
                assert inside.holds(Box(x, y, 0, 0)), id_


def test_no_line_lies_on_another_wires_line(result: Result) -> None:
    for sheet in sheets_of(result):
        all_lines = {**lines(sheet, "wire"), **lines(sheet, "goes-on")}
        parts = [(id_, box) for id_, points in all_lines.items() for box in stretches(points)]
        for (one, a), (other, b) in combinations(parts, 2):
            if one == other:
                continue
            along = (a.w == 0) == (b.w == 0)
            assert not (along and a.overlaps(b, 0.7)), f"{sheet.name}: {one} on {other}"


def test_every_line_is_level_or_upright(result: Result) -> None:
    for sheet in sheets_of(result):
        for id_, points in lines(sheet, "wire").items():
            for box in stretches(points):
                assert box.w < 1e-3 or box.h < 1e-3, id_


def test_no_line_runs_through_a_wires_label(result: Result) -> None:
    for sheet in sheets_of(result):
        every = [*lines(sheet, "wire").values(), *lines(sheet, "goes-on").values()]
        parts = [box for points in every for box in stretches(points)]
        for text, box, _, class_ in texts(sheet):
            if class_ in ("wire-label", "name", "pin"):
                inner = Box(box.x + 0.2, box.y + 0.3, box.w - 0.4, box.h - 0.6)
                assert not any(inner.overlaps(p) for p in parts), f"{sheet.name}: {text}"


def test_systems_are_drawn_alike_every_time(motorcycle: Result) -> None:
    again = {s.name: s.svg for sheets in draw(motorcycle).values() for s in sheets}
    assert {s.name: s.svg for s in sheets_of(motorcycle)} == again


def test_text_width_is_the_sum_of_the_fonts_advances() -> None:
    """Roboto Regular: 'H' advances 1460 and 'i' 497 of 2048 units (hmtx table of the font)."""
    assert text_width_mm("Hi", 2.048) == pytest.approx(1.460 + 0.497, abs=0.01)


def test_long_text_breaks_into_lines_that_fit() -> None:
    found = wrapped("front-bumper-connector left of the radiator", 2.6, 20, 2)
    assert len(found) == 2 and found[-1].endswith("…")
    assert all(text_width_mm(line, 2.6) <= 20 for line in found)


@pytest.mark.parametrize("seed", range(12))
def test_a_tangle_is_laid_out_without_one_line_on_another(seed: int) -> None:
    """Forty elements joined at random, whatever their order and edges."""
    random = Random(seed)
    names = [f"e{n}" for n in range(40)]
    ends = [Port(n, top, column) for n in names for top in (True, False) for column in range(2)]
    random.shuffle(ends)
    links = [Link(f"w{n}", *ends[2 * n : 2 * n + 2]) for n in range(60)]
    footprints = {
        n: Footprint(n, 3, random.uniform(4, 30), random.uniform(2, 15), "", n < "e2")
        for n in names
    }
    layout = lay_out(footprints, links, Grid(12, 6, 9.8))
    parts = [(i, box) for i, line in layout.lines.items() for box in stretches(line)]
    for (one, a), (other, b) in combinations(parts, 2):
        if one != other and (a.w == 0) == (b.w == 0):
            assert not a.overlaps(b, 0.7), f"{one} on {other}"
    boxes = [Box(x, y, 9.8, 6) for x, y in layout.labels.values()]
    assert len(boxes) == 60
    assert not any(a.overlaps(b) for a, b in combinations(boxes, 2))


def test_a_circle_of_links_and_a_link_to_itself_are_laid_out_all_the_same() -> None:
    footprints = {k: Footprint(k, 3, 8, 10) for k in "abc"}
    links = [
        Link(f"{x}{y}", Port(x, False, 0), Port(y, True, 0))
        for x, y in (("a", "b"), ("b", "c"), ("c", "a"))
    ]
    links.append(Link("own", Port("a", False, 1), Port("a", True, 1)))
    layout = lay_out(footprints, links, Grid(12, 6, 9))
    assert set(layout.lines) == {"ab", "bc", "ca", "own"}
    for line in layout.lines.values():
        assert all(0 <= x <= layout.width and -1e-9 <= y <= layout.height for x, y in line)


def runs(sheet: Drawing) -> list[tuple[str, Box]]:
    """Every straight stretch of every wire of a sheet, with the wire's number."""
    drawn = {**lines(sheet, "wire"), **lines(sheet, "goes-on")}
    return [
        (id_.split("-schematic")[0].removeprefix("wire-"), box)
        for id_, points in drawn.items()
        for box in stretches(points)
    ]


def test_wires_side_by_side_are_drawn_at_least_1_6_mm_apart(result: Result) -> None:
    for sheet in sheets_of(result):
        for (one, a), (other, b) in combinations(runs(sheet), 2):
            if one != other and (a.w == 0) == (b.w == 0):
                assert not a.overlaps(b, 1.6), f"{sheet.name}: {one} beside {other}"


def test_no_label_touches_a_wire_that_is_not_its_own(result: Result) -> None:
    """A wire is drawn 0.9 mm wide; its labels are its number and size, and its colour."""
    for sheet in sheets_of(result):
        found = runs(sheet)
        for text, box, _, class_ in texts(sheet):
            if class_ == "wire-label":
                near = {wire for wire, run in found if box.overlaps(run, 0.45)}
                mine = {wire for wire, run in found if box.overlaps(run, 0.9)}
                assert len(near) <= 1 and len(mine) <= 2, f"{sheet.name}: {text} at {near}"


def test_a_screen_is_drawn_on_the_sheet_of_its_cores(lapwing: Result) -> None:
    """The knock sensors' cables each have a screen of which one end is capped."""
    drawn = schematics_of(lapwing)
    cables = [c for c in lapwing.vehicle.description.cables.values() if c.screen]
    assert cables
    for cable in cables:
        for sheets in drawn.values():
            for sheet in sheets:
                here = {lapwing.harness.wires[w].circuit for w, _ in runs(sheet)}
                assert cable.screen not in here or set(cable.cores) <= here
    words = [t for s in sheets_of(lapwing) for t, _, _, _ in texts(s)]
    assert {f"screen of {name} knock cable, capped" for name in ("front", "rear")} <= set(words)


def test_a_sheet_uses_its_width_where_it_has_several_groups(lapwing: Result) -> None:
    """Where a sheet holds more than two groups, lettering reaches over two thirds of it."""
    for system, sheets in schematics_of(lapwing).items():
        for sheet in sheets:
            words = [b for _, b, _, c in texts(sheet) if c in ("name", "wire-label", "pin")]
            wide = max(b.right for b in words) - min(b.x for b in words)
            if len(words) > 60:
                assert wide > SHEET_MM[0] * 2 / 3, f"{system}: {sheet.name}"
