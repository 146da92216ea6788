"""Full-size sheets measured as a rule would: in pixels, joined by their registration marks."""

from __future__ import annotations

import io
import math
from collections import Counter
from itertools import pairwise

import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader

from buildbook.bench.laying_order import steps_of
from buildbook.book.chapters.harnesses import sheet_of
from buildbook.book.full_size import Sheets, full_size_pdf, sheets_of
from buildbook.drawing.harness.full_size import full_size
from buildbook.drawing.harness.section import layer_title
from tests.book.printed_sections import cuts_of
from tests.drawing.reading import letterings, points, shapes

DPI = 200
PX = DPI / 25.4
"""Pixels in a millimetre."""
WINDOW_MM = 4.0
WITHIN_MM, OVER_MM = 0.5, 500.0


class Prints:
    """The sheets of one harness as a printer would ink them."""

    def __init__(self, sheets: Sheets, pdf: bytes) -> None:
        self.tiling = sheets.tiling
        self.document = pypdfium2.PdfDocument(pdf)
        self.pages: dict[str, np.ndarray] = {}

    def page(self, name: str) -> np.ndarray:
        """Ink of a sheet, 0 to 1, by pixel."""
        if name not in self.pages:
            number = 1 + [t.name for t in self.tiling.tiles].index(name)
            bitmap = self.document[number].render(scale=DPI / 72, grayscale=True)
            self.pages[name] = 1.0 - bitmap.to_numpy().squeeze() / 255.0
        return self.pages[name]

    def find(self, name: str, near_mm: tuple[float, float], stamp: np.ndarray) -> np.ndarray:
        """Place in mm on a sheet at which the ink within 2 mm is most like a stamp."""
        ink, half = self.page(name), stamp.shape[0] // 2
        cx, cy = (round(v * PX) for v in near_mm)
        reach = round(WINDOW_MM * PX / 2)
        field = ink[
            cy - reach - half : cy + reach + half + 1, cx - reach - half : cx + reach + half + 1
        ]
        views = np.lib.stride_tricks.sliding_window_view(field, stamp.shape)
        scores = np.tensordot(views, stamp, axes=2)
        best = float(scores.max())
        y, x = np.unravel_index(int(scores.argmax()), scores.shape)
        rows, columns = np.indices(scores.shape)
        near = np.hypot(rows - y, columns - x) <= 5
        weight = np.where(near, np.clip(scores - 0.85 * best, 0.0, None), 0.0)
        at = (
            cx - reach + float((weight * columns).sum() / weight.sum()),
            cy - reach + float((weight * rows).sum() / weight.sum()),
        )
        assert best > 0.5 * float(stamp[stamp > 0].sum()), f"no mark on {name} near {near_mm}"
        return (np.array(at) + 0.5) / PX


def cross(half_mm: float, headings: tuple[float, ...]) -> np.ndarray:
    """A stamp of strokes through a middle; between them it punishes ink."""
    half = round(half_mm * PX)
    stamp = np.full((2 * half + 1, 2 * half + 1), -0.01)
    for heading in headings:
        for t in np.arange(-half, half + 0.25, 0.25):
            x = half + t * math.cos(math.radians(heading))
            y = half + t * math.sin(math.radians(heading))
            stamp[round(y), round(x)] = 1.0
    return stamp


def tile_at(prints: Prints, spot: tuple[float, float]):
    """The sheet on which a place of the board lies farthest from the sheet's edge."""

    def depth(tile) -> float:
        w = tile.window
        return min(spot[0] - w.x, w.right - spot[0], spot[1] - w.y, w.bottom - spot[1])

    return max(prints.tiling.tiles, key=depth)


def chain(prints: Prints, a, b) -> list:
    """Sheets from one to another, each joining the one before."""
    by_place = {(t.row, t.column): t for t in prints.tiling.tiles}
    before, queue = {a.name: None}, [a]
    for tile in queue:
        for r, c in ((0, 1), (0, -1), (1, 0), (-1, 0)):
            other = by_place.get((tile.row + r, tile.column + c))
            if other and other.name not in before:
                before[other.name] = tile
                queue.append(other)
    found = [b]
    while before[found[0].name]:
        found.insert(0, before[found[0].name])
    return found


def joined_shift(prints: Prints, a, b) -> np.ndarray:
    """What takes a place on sheet b to the frame of sheet a: mean over the marks both show."""
    stamp = cross(4.0, (0.0, 90.0))
    shared = sorted(set(prints.tiling.marks(a)) & set(prints.tiling.marks(b)))
    assert len(shared) == 2
    on_a, on_b = (
        [prints.find(tile.name, prints.tiling.on_page(tile, *mark), stamp) for mark in shared]
        for tile in (a, b)
    )
    shifts = [one - other for one, other in zip(on_a, on_b, strict=True)]
    assert np.abs(shifts[0] - shifts[1]).max() < 0.3, "the sheets are turned or scaled"
    return np.mean(shifts, axis=0)


def measured_mm(prints: Prints, line) -> float:
    """Length of a dimension line between its two stops, over all sheets that it crosses."""
    (a, b) = points(line)
    heading = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    stamp = cross(2.6, (heading + 45.0, heading + 90.0))
    first, last = tile_at(prints, a), tile_at(prints, b)
    start = prints.find(first.name, prints.tiling.on_page(first, *a), stamp)
    end = prints.find(last.name, prints.tiling.on_page(last, *b), stamp)
    way = chain(prints, first, last)
    for near, far in zip(way, way[1:], strict=False):
        end = end + joined_shift(prints, near, far)
    return float(np.hypot(*(end - start)))


@pytest.fixture(scope="module")
def bumper(lapwing) -> Prints:
    sheets = sheets_of(lapwing, "bumper", "A4")
    return Prints(sheets, full_size_pdf(lapwing, [sheets]))


def test_dimension_lines_measure_true_over_joined_sheets(bumper, lapwing):
    """Within 0.5 mm over 500 mm, as the tolerance of the layout is set."""
    lines = shapes(bumper.tiling.full.drawing, "polyline", "dimension")
    drawn = [(math.dist(*points(line)), line) for line in lines]
    long = [(true, line) for true, line in drawn if true > OVER_MM]
    lengths = {round(r.length_m * 1000) for r in lapwing.vehicle.runs if r.harness == "bumper"}
    assert long and {round(true) for true, _ in long} <= lengths
    for true, line in long:
        assert measured_mm(bumper, line) == pytest.approx(true, abs=WITHIN_MM * true / OVER_MM)


def test_the_bar_measures_100_mm(bumper):
    tile = bumper.tiling.tiles[0]
    foot = 9.0 + tile.window.h + 12.5
    stamp = cross(1.5, (0.0, 90.0))
    ends = [bumper.find(tile.name, (10.0 + x, foot), stamp) for x in (0.0, 100.0)]
    assert np.hypot(*(ends[1] - ends[0])) == pytest.approx(100.0, abs=0.2)


@pytest.mark.parametrize("paper", ["A4", "A3", "Letter"])
def test_sheets_hold_everything_drawn(lapwing, paper):
    """Every mark and letter lies whole on the sheets that show it, and shared ink twice."""
    tiling = sheets_of(lapwing, "gearbox", paper).tiling
    for box in tiling.full.inked:
        x, y = box.x + box.w / 2, box.y + box.h / 2
        shown = [
            t
            for t in tiling.tiles
            if t.window.x <= x <= t.window.right and t.window.y <= y <= t.window.bottom
        ]
        assert shown, box


def test_sheets_are_as_large_as_their_paper_and_say_who_they_join(lapwing):
    sheets = sheets_of(lapwing, "bumper", "Letter")
    reader = PdfReader(io.BytesIO(full_size_pdf(lapwing, [sheets])))
    assert len(reader.pages) == 1 + len(sheets.tiling.tiles)
    for page in reader.pages:
        size = sorted((float(page.mediabox.width), float(page.mediabox.height)))
        assert size == pytest.approx([612, 792], abs=0.1)
    text = reader.pages[1].extract_text()
    tile = sheets.tiling.tiles[0]
    assert all(name in text for name in sheets.tiling.beside(tile).values())
    assert "at 100 %" in text and tile.name in text


def test_the_laying_order_stands_on_the_sheets_where_it_changes(lapwing):
    """At every change of every line: what to do, and a section of who lies on from there."""
    full = full_size(lapwing, "engine").drawing
    assert full.left_out == ()
    said = " ".join(text.text for text in letterings(full))
    drawn = Counter(frozenset(w for d in cut.strands for w in d.wires) for cut in cuts_of(full.svg))
    lies = {frozenset((r.from_point, r.to_point)): r.id for r in lapwing.vehicle.runs}
    expected: Counter[frozenset[str]] = Counter()
    for order in sheet_of(lapwing, "engine").laying:
        points = [point for point, _ in order.points]
        changed = dict.fromkeys(station.point for _, _, station, _ in steps_of(order))
        for number, layer, station, _ in steps_of(order):
            named = ", ".join("+".join(s) for s in station.into or station.out)
            assert f"{number} {layer_title(layer.name)}: " in said and named in said
        for here, there in pairwise(points):
            piece = lapwing.finished_runs[lies[frozenset((here, there))]]
            if here in changed and len(piece.strands) > 1:
                expected[frozenset(piece.wires)] += 1
    assert drawn == expected


def test_the_same_vehicle_gives_the_same_bytes(two_wire):
    (name,) = two_wire.vehicle.description.rope
    once, again = (full_size_pdf(two_wire, [sheets_of(two_wire, name, "A4")]) for _ in range(2))
    assert once == again
