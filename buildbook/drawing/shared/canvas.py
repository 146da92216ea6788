"""What a drawing is drawn on: lines, lettering, and labels kept clear of what is there."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import svgwrite

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.lettering import FONT, SMALL_MM, label_box, text_width_mm
from buildbook.drawing.shared.model import Drawing, Reference
from buildbook.figures import squared
from buildbook.words.say import say

INK, GREY = "#000000", "#555555"
WIDEST_PAGE = "88–888"
"""The longest page that room is kept for; Roboto's digits are all of one width."""
CELL_MM = 10.0
"""Side of the squares by which boxes are found again."""
Group = Any
"""A group of svgwrite, which has no types."""


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
        self.left_out: list[str] = []
        """Lettering that found no room: the finished drawing names it."""

    def group(
        self,
        id_: str = "",
        class_: str = "",
        labels: bool = False,
        data: Mapping[str, str] | None = None,
    ) -> Group:
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
        into: Group | None = None,
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
        into: Group | None = None,
        class_: str = "",
        data: Mapping[str, str] | None = None,
    ) -> None:
        """A rectangle; `data` are more attributes of it."""
        extra: dict[str, Any] = dict(data or {}) | ({"stroke_dasharray": dash} if dash else {})
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
        into: Group | None = None,
        class_: str = "",
        data: Mapping[str, str] | None = None,
    ) -> None:
        """A circle; `data` are more attributes of it."""
        extra = dict(data or {}) | ({"class_": class_} if class_ else {})
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
        into: Group | None = None,
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
        into: Group | None = None,
        class_: str = "",
        record: bool = True,
        data: Mapping[str, str] | None = None,
    ) -> Box:
        """Writes a line of text; returns its box. `halo` puts white behind it.

        `data` are more attributes of the text.
        """
        text = squared(text)
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
        extra: dict[str, Any] = dict(data or {}) | ({"font_weight": "bold"} if bold else {})
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
        into: Group | None = None,
        class_: str = "reference",
    ) -> Box:
        """Writes where another sheet is; returns the box, wide enough for any page and the zone.

        `sheet` is the name of the drawing. In a book the text becomes its chapter–page and the
        zone, and a link; in a drawing on its own `words` stand there. A place on the same drawing
        has no `sheet`: a page's number there would send its reader where they are.
        """
        if not sheet:
            here, data = say("here {zone}", zone=zone), {"data-zone": zone}
            return self.text(x, y, here, size, anchor, bold, into=into, class_=class_, data=data)
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
        into: Group | None = None,
        class_: str = "",
    ) -> Box | None:
        """Writes the text at the first spot that is free and on the sheet.

        Where no spot is, the text is left out, which the finished drawing says; returns None.
        """
        sheet = Box(0, 0, self.width, self.height)
        for x, y in spots:
            box = label_box(x, y, text, size, anchor, bold, turned)
            if sheet.holds(box) and self.is_free(box):
                return self.text(
                    x, y, text, size, anchor, bold, turned, halo, into=into, class_=class_
                )
        self.left_out.append(text)
        return None

    def drawing(self, name: str, title: str) -> Drawing:
        """The finished drawing."""
        return Drawing(
            name,
            title,
            self.svg.tostring(),
            self.width,
            self.height,
            tuple(self.references),
            tuple(self.left_out),
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
