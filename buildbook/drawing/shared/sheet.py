"""What every drawing shares: lettering, line weights, labels kept clear, frame, title block."""

from __future__ import annotations

import importlib.util
import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import svgwrite
from fontTools.ttLib import TTFont

from buildbook.description.models import Vehicle
from buildbook.drawing.shared.model import Drawing, Reference

FONT = "Roboto"
SMALL_MM, NORMAL_MM = 2.6, 3.0
"""Font sizes. Roboto's capitals are 0.711 em high: 2.6 mm gives 1.85 mm (ISO 3098: 1.8 mm)."""
BAND_MM = 5.0
"""Width of the border band that carries the zone references (ISO 5457)."""
BLOCK_MM = (180.0, 16.0)
"""Title block: ISO 7200 gives 180 mm of width; the height is ours."""
STRIP_MM = 5.4
"""Height of the title strip under a figure."""
INK, GREY = "#000000", "#555555"
AT_REST = "All contacts at rest, no supply"
WIDEST_PAGE = "88–888"
"""The longest page that room is kept for; Roboto's digits are all of one width."""
CELL_MM = 10.0
END_LETTERS = 5
"""Kept of the end of a name that is cut in its middle."""
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Zone letters: I and O are left out (ISO 5457)."""


@dataclass(frozen=True)
class Box:
    """An upright rectangle in mm, y downwards."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        return self.x + self.w

    @property
    def bottom(self) -> float:
        return self.y + self.h

    def overlaps(self, other: Box, gap: float = 0.0) -> bool:
        return (
            self.x < other.right + gap
            and other.x < self.right + gap
            and self.y < other.bottom + gap
            and other.y < self.bottom + gap
        )

    def holds(self, other: Box) -> bool:
        return (
            self.x - 1e-6 <= other.x
            and self.y - 1e-6 <= other.y
            and other.right <= self.right + 1e-6
            and other.bottom <= self.bottom + 1e-6
        )


@dataclass(frozen=True)
class Title:
    """What the title block says."""

    vehicle: str
    title: str
    system: str
    revision: str
    date: str
    sheet: int = 1
    sheets: int = 1
    state: str = ""
    """'' where nothing is drawn that could be in another state."""
    name: str = ""
    """Drawing number: the name of the drawing, which tells the book its page."""
    scale: str = ""
    """'1:20'; '' where nothing is drawn to a scale, which the block says too."""


def font_folder() -> Path:
    """Folder of the TTF files that the Roboto package brings."""
    spec = importlib.util.find_spec("font_roboto")
    if spec is None or spec.origin is None:
        raise ModuleNotFoundError("font_roboto (package font-roboto) is not installed")
    return Path(spec.origin).parent / "files"


@lru_cache(maxsize=2)
def _advances(bold: bool) -> tuple[dict[int, float], float]:
    font = TTFont(font_folder() / ("Roboto-Bold.ttf" if bold else "Roboto-Regular.ttf"), lazy=True)
    em = font["head"].unitsPerEm
    metrics, glyphs = font["hmtx"].metrics, font.getBestCmap()
    missing = metrics[".notdef"][0] / em
    return {code: metrics[name][0] / em for code, name in glyphs.items()}, missing


@lru_cache(maxsize=20000)
def text_width_mm(text: str, size_mm: float, bold: bool = False) -> float:
    """Width of a line of Roboto set at `size_mm`, from the font's own advance widths."""
    advances, missing = _advances(bold)
    return size_mm * sum(advances.get(ord(letter), missing) for letter in text)


def fitted(text: str, size_mm: float, width_mm: float, bold: bool = False) -> str:
    """The text, or as much of it as goes into the width, ending in an ellipsis."""
    if text_width_mm(text, size_mm, bold) <= width_mm:
        return text
    while text and text_width_mm(text + "…", size_mm, bold) > width_mm:
        text = text[:-1]
    return text.rstrip() + "…"


def both_ends(text: str, size_mm: float, width_mm: float, bold: bool = False) -> str:
    """The text, or its beginning and its last letters with an ellipsis between, in the width.

    For names: those of one vehicle often differ by a number at their end.
    """
    if text_width_mm(text, size_mm, bold) <= width_mm:
        return text
    end = text[-END_LETTERS:].lstrip()
    room = width_mm - text_width_mm("…" + end, size_mm, bold)
    start = text[:-END_LETTERS]
    while start and text_width_mm(start, size_mm, bold) > room:
        start = start[:-1]
    return f"{start.rstrip()}…{end}" if start else fitted(text, size_mm, width_mm, bold)


def wrapped(
    text: str, size_mm: float, width_mm: float, lines: int, bold: bool = False
) -> list[str]:
    """The text broken at spaces (and hyphens) into at most `lines` lines, the last one fitted."""
    words = text.replace("-", "- ").split(" ")
    done: list[str] = []
    line = ""
    for place, word in enumerate(words):
        joint = "" if not line or line.endswith("-") else " "
        if line and text_width_mm(line + joint + word, size_mm, bold) > width_mm:
            if len(done) == lines - 1:
                rest = " ".join([line, *words[place:]]).replace("- ", "-")
                return [*done, fitted(rest, size_mm, width_mm, bold)]
            done.append(fitted(line, size_mm, width_mm, bold))
            line = word
        else:
            line += joint + word
    return [*done, fitted(line, size_mm, width_mm, bold)]


def label_box(
    x: float,
    y: float,
    text: str,
    size: float = SMALL_MM,
    anchor: str = "start",
    bold: bool = False,
    turned: bool = False,
) -> Box:
    """Box of a line of text whose baseline starts (or is centred, or ends) at x, y.

    `turned` text reads upwards from the foot of the sheet (rotated -90 degrees about x, y).
    """
    width = text_width_mm(text, size, bold)
    before = {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    up, down = 0.76 * size, 0.22 * size
    if turned:
        return Box(x - up, y - (width - before), up + down, width)
    return Box(x - before, y - up, width, up + down)


class Canvas:
    """An SVG under way; remembers the boxes of labels so that new ones keep clear of them."""

    def __init__(self, width_mm: float, height_mm: float) -> None:
        self.width, self.height = width_mm, height_mm
        self.svg = svgwrite.Drawing(
            size=(f"{width_mm:g}mm", f"{height_mm:g}mm"),
            viewBox=f"0 0 {width_mm:g} {height_mm:g}",
            debug=False,
        )
        self.lines_layer = self.svg.add(self.svg.g(class_="lines"))
        self.labels_layer = self.svg.add(self.svg.g(class_="labels"))
        self.taken: list[Box] = []
        """Boxes that labels must keep clear of: earlier labels and what `block` was told."""
        self._in_cell: dict[tuple[int, int], list[Box]] = defaultdict(list)
        """The boxes of `taken` by the squares of CELL_MM that they lie in: a look at what is
        near a label costs the same however much is on the sheet."""
        self.references: list[Reference] = []

    def group(
        self,
        id_: str = "",
        class_: str = "",
        labels: bool = False,
        data: Mapping[str, str] | None = None,
    ):
        """A group on the line layer (or label layer) to draw into; `id_` must be unique.

        `data` are more attributes of the group.
        """
        extra = dict(data or {})
        if id_:
            extra["id"] = id_
        if class_:
            extra["class_"] = class_
        layer = self.labels_layer if labels else self.lines_layer
        return layer.add(self.svg.g(**extra))

    def line(
        self,
        points: Sequence[tuple[float, float]],
        weight: float = 0.25,
        colour: str = INK,
        dash: str = "",
        into=None,
        class_: str = "",
        cap: str = "round",
    ) -> None:
        """A line through the points; `cap` is how SVG ends it."""
        extra = {"stroke_dasharray": dash} if dash else {}
        if class_:
            extra["class_"] = class_
        (into or self.lines_layer).add(
            self.svg.polyline(
                [_round(p) for p in points],
                fill="none",
                stroke=colour,
                stroke_width=weight,
                stroke_linejoin="round",
                stroke_linecap=cap,
                **extra,
            )
        )

    def rect(
        self,
        box: Box,
        weight: float = 0.25,
        fill: str = "none",
        colour: str = INK,
        dash: str = "",
        radius: float = 0.0,
        into=None,
        class_: str = "",
    ) -> None:
        """A rectangle."""
        extra: dict = {"stroke_dasharray": dash} if dash else {}
        if class_:
            extra["class_"] = class_
        if radius:
            extra |= {"rx": radius, "ry": radius}
        (into or self.lines_layer).add(
            self.svg.rect(
                _round((box.x, box.y)),
                _round((box.w, box.h)),
                fill=fill,
                stroke=colour,
                stroke_width=weight,
                **extra,
            )
        )

    def circle(
        self,
        x: float,
        y: float,
        r: float,
        weight: float = 0.25,
        fill: str = "none",
        colour: str = INK,
        into=None,
        class_: str = "",
    ) -> None:
        """A circle."""
        extra = {"class_": class_} if class_ else {}
        (into or self.lines_layer).add(
            self.svg.circle(
                _round((x, y)), round(r, 3), fill=fill, stroke=colour, stroke_width=weight, **extra
            )
        )

    def path(
        self,
        d: str,
        weight: float = 0.25,
        fill: str = "none",
        colour: str = INK,
        into=None,
        class_: str = "",
    ) -> None:
        """A path given in SVG path language, in mm."""
        extra = {"class_": class_} if class_ else {}
        (into or self.lines_layer).add(
            self.svg.path(
                d, fill=fill, stroke=colour, stroke_width=weight, stroke_linecap="round", **extra
            )
        )

    def text(
        self,
        x: float,
        y: float,
        text: str,
        size: float = SMALL_MM,
        anchor: str = "start",
        bold: bool = False,
        turned: bool = False,
        halo: bool = False,
        colour: str = INK,
        into=None,
        class_: str = "",
        record: bool = True,
        data: Mapping[str, str] | None = None,
    ) -> Box:
        """Writes a line of text; returns its box. `halo` puts white behind it.

        `data` are more attributes of the text.
        """
        box = label_box(x, y, text, size, anchor, bold, turned)
        layer = into or self.labels_layer
        if halo:
            layer.add(
                self.svg.rect(
                    _round((box.x, box.y)),
                    _round((box.w, box.h)),
                    fill="#ffffff",
                    stroke="none",
                    class_="halo",
                )
            )
        extra: dict = dict(data or {}) | ({"font_weight": "bold"} if bold else {})
        if class_:
            extra["class_"] = class_
        if turned:
            extra["transform"] = f"rotate(-90 {x:.3f} {y:.3f})"
        written = self.svg.text(
            text,
            insert=_round((x, y)),
            font_size=size,
            font_family=FONT,
            text_anchor=anchor,
            fill=colour,
            **extra,
        )
        layer.add(written)
        if record:
            self.block(box)
        return box

    def reference(
        self,
        x: float,
        y: float,
        sheet: str,
        zone: str = "",
        words: str = "–",
        size: float = SMALL_MM,
        anchor: str = "start",
        bold: bool = False,
        into=None,
        class_: str = "reference",
    ) -> Box:
        """Writes where another sheet is; returns the box, wide enough for any page and the zone.

        `sheet` is the name of the drawing. In a book the text becomes its chapter–page and the
        zone, and a link; in a drawing on its own `words` stand there.
        """
        wide = max(
            words, paged_words(WIDEST_PAGE, zone), key=lambda text: text_width_mm(text, size, bold)
        )
        box = label_box(x, y, wide, size, anchor, bold)
        data = {"data-sheet": sheet} | ({"data-zone": zone} if zone else {})
        self.text(
            x, y, words, size, anchor, bold, into=into, class_=class_, record=False, data=data
        )
        self.block(box)
        self.references.append(Reference(sheet, box.x, box.y, box.w, box.h))
        return box

    def block(self, box: Box) -> None:
        """Keeps labels out of a box."""
        self.taken.append(box)
        for cell in _cells(box, 0.0):
            self._in_cell[cell].append(box)

    def is_free(self, box: Box, gap: float = 0.3) -> bool:
        """True where nothing recorded is in the box."""
        near = (self._in_cell.get(cell, ()) for cell in _cells(box, gap))
        return not any(box.overlaps(other, gap) for boxes in near for other in boxes)

    def place(
        self,
        text: str,
        spots: Iterable[tuple[float, float]],
        size: float = SMALL_MM,
        anchor: str = "start",
        bold: bool = False,
        turned: bool = False,
        halo: bool = True,
        into=None,
        class_: str = "",
    ) -> Box | None:
        """Writes the text at the first spot that is free and on the sheet; None where none is."""
        sheet = Box(0, 0, self.width, self.height)
        for x, y in spots:
            box = label_box(x, y, text, size, anchor, bold, turned)
            if sheet.holds(box) and self.is_free(box):
                return self.text(
                    x, y, text, size, anchor, bold, turned, halo, into=into, class_=class_
                )
        return None

    def drawing(self, name: str, title: str) -> Drawing:
        """The finished drawing."""
        return Drawing(
            name, title, self.svg.tostring(), self.width, self.height, tuple(self.references)
        )


def _cells(box: Box, gap: float) -> Iterator[tuple[int, int]]:
    """The squares of CELL_MM that a box lies in, with a gap round it."""
    down = range(math.floor((box.y - gap) / CELL_MM), math.floor((box.bottom + gap) / CELL_MM) + 1)
    for across in range(
        math.floor((box.x - gap) / CELL_MM), math.floor((box.right + gap) / CELL_MM) + 1
    ):
        for row in down:
            yield across, row


def _round(point: tuple[float, float]) -> tuple[float, float]:
    return round(float(point[0]), 3), round(float(point[1]), 3)


def paged_words(page: str, zone: str) -> str:
    """'4–7 B3': a page of the book and the border zone on it."""
    return f"{page} {zone}".rstrip()


def zone_count(length_mm: float) -> int:
    """Zones along a side: an even number of about 50 mm each (ISO 5457)."""
    return max(2, 2 * round(length_mm / 100))


def zone_of(x: float, y: float, width_mm: float, height_mm: float) -> str:
    """Border reference of a place on a framed sheet: 'B4'."""
    inside_w, inside_h = width_mm - 2 * BAND_MM, height_mm - 2 * BAND_MM
    across, down = zone_count(inside_w), zone_count(inside_h)
    column = min(across - 1, max(0, int((x - BAND_MM) / inside_w * across)))
    row = min(down - 1, max(0, int((y - BAND_MM) / inside_h * down)))
    return f"{LETTERS[row]}{column + 1}"


def frame(canvas: Canvas, title: Title) -> Box:
    """Draws border, zones and title block; returns the box left to draw in.

    The canvas must be wide enough for the title block: 190 mm.
    """
    inner = Box(BAND_MM, BAND_MM, canvas.width - 2 * BAND_MM, canvas.height - 2 * BAND_MM)
    canvas.rect(Box(0.25, 0.25, canvas.width - 0.5, canvas.height - 0.5), 0.35)
    canvas.rect(inner, 0.7, class_="frame")
    _zones(canvas, inner)
    _centring_marks(canvas)
    block = Box(inner.right - BLOCK_MM[0], inner.bottom - BLOCK_MM[1], *BLOCK_MM)
    _title_block(canvas, block, title)
    return inside(canvas)


def inside(canvas: Canvas) -> Box:
    """What a frame leaves to draw in."""
    edge = BAND_MM + 1.5
    return Box(edge, edge, canvas.width - 2 * edge, canvas.height - 2 * edge - BLOCK_MM[1])


def figure(
    width_mm: float,
    height_mm: float,
    vehicle: Vehicle,
    name: str,
    title: str,
    state: str = "",
    scale: str = "",
) -> Canvas:
    """A canvas for a chart or a small drawing, with a light title strip below the height given.

    The strip says number, title, state, scale, revision and page: what a title block says of a
    sheet that may lie on its own.
    """
    canvas = Canvas(width_mm, height_mm + STRIP_MM)
    top, base = height_mm + 0.6, height_mm + STRIP_MM - 1.2
    canvas.line([(1, top), (width_mm - 1, top)], 0.35, class_="strip")
    right = width_mm - 1.5
    box = canvas.reference(right, base, name, anchor="end", bold=True)
    said = [state, f"scale {scale}" if scale else "", f"revision {vehicle.revision}", "page"]
    words = " · ".join(word for word in said if word)
    words = fitted(words, SMALL_MM, width_mm / 2)
    box = canvas.text(box.x - 1.2, base, words, anchor="end", class_="strip")
    room = box.x - 4.5
    shown = fitted(name, SMALL_MM, room * 0.6, True)
    box = canvas.text(1.5, base, shown, bold=True, class_="strip")
    canvas.text(box.right + 2.5, base, fitted(title, SMALL_MM, room - box.right), class_="strip")
    canvas.block(Box(0, height_mm, width_mm, STRIP_MM))
    return canvas


def _zones(canvas: Canvas, inner: Box) -> None:
    across, down = zone_count(inner.w), zone_count(inner.h)
    for n in range(across):
        x0, step = inner.x + n * inner.w / across, inner.w / across
        for y, base in ((0.25, 3.6), (inner.bottom, inner.bottom + 3.6)):
            if n:
                canvas.line([(x0, y), (x0, y + BAND_MM - 0.25)], 0.25)
            canvas.text(x0 + step / 2, base, str(n + 1), anchor="middle", class_="zone")
    for n in range(down):
        y0, step = inner.y + n * inner.h / down, inner.h / down
        for x, middle in ((0.25, BAND_MM / 2), (inner.right, inner.right + BAND_MM / 2)):
            if n:
                canvas.line([(x, y0), (x + BAND_MM - 0.25, y0)], 0.25)
            canvas.text(middle, y0 + step / 2 + 0.9, LETTERS[n], anchor="middle", class_="zone")


def _centring_marks(canvas: Canvas) -> None:
    """The middle of every side, for whoever copies or films the sheet (ISO 5457)."""
    x, y = canvas.width / 2, canvas.height / 2
    long = BAND_MM - 0.4
    for at in (0.4, canvas.height - BAND_MM):
        canvas.line([(x, at), (x, at + long)], 0.7, class_="centring")
    for at in (0.4, canvas.width - BAND_MM):
        canvas.line([(at, y), (at + long, y)], 0.7, class_="centring")


def _title_block(canvas: Canvas, block: Box, title: Title) -> None:
    """Two rows of named fields, the name over each; they are those of ISO 7200 (from memory).

    Legal owner (the vehicle), title, supplementary title, identification number and revision
    index; creator, approval person (left to sign), date of issue, sheet and page.
    """
    canvas.rect(block, 0.7, fill="#ffffff", class_="title-block")
    canvas.block(block)
    rows = (
        (
            ("Vehicle", title.vehicle, 34),
            ("Title", title.title, 60),
            ("Part of", title.system, 24),
            ("Drawing number", title.name, 46),
            ("Revision", title.revision, 16),
        ),
        (
            ("State drawn", title.state or "–", 46),
            ("Scale", title.scale or "not to scale", 20),
            ("Made by", "buildbook", 24),
            ("Checked by", "", 30),
            ("Date", title.date, 22),
            ("Sheet", f"{title.sheet} of {title.sheets}", 18),
            ("Page", "", 20),
        ),
    )
    height = block.h / len(rows)
    for row, fields in enumerate(rows):
        x, y = block.x, block.y + row * height
        for name, value, width in fields:
            canvas.rect(Box(x, y, width, height), 0.25)
            canvas.text(x + 1, y + 2.9, fitted(name, SMALL_MM, width - 2), colour=GREY)
            foot = y + height - 1.2
            if name == "Page":
                canvas.reference(x + 1, foot, title.name, size=NORMAL_MM, bold=True)
            elif value:
                fits = text_width_mm(value, NORMAL_MM, bold=True) <= width - 2
                size = NORMAL_MM if fits else SMALL_MM
                canvas.text(x + 1, foot, fitted(value, size, width - 2, bold=True), size, bold=True)
            x += width
