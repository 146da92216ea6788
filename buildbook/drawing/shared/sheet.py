"""A sheet with frame and title block, or a figure with a title strip under it."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.description.models import VehicleData
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted, text_width_mm
from buildbook.drawing.shared.zones import BAND_MM, draw_centring_marks, draw_zones
from buildbook.words.say import mark, say

BLOCK_MM = (180.0, 16.0)
"""Title block: ISO 7200 gives 180 mm of width; the height is ours."""
STRIP_MM = 5.4
"""Height of the title strip under a figure."""
AT_REST = mark("All contacts at rest, no supply")
PUT_IN = {"Revision": "revision", "Date": "date"}
"""Fields in which a book puts what the page was last changed in, and what marks them for it."""


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


def frame(canvas: Canvas, title: Title) -> Box:
    """Draws border, zones and title block; returns the box left to draw in.

    The canvas must be wide enough for the title block: 190 mm.
    """
    inner = Box(BAND_MM, BAND_MM, canvas.width - 2 * BAND_MM, canvas.height - 2 * BAND_MM)
    canvas.rect(Box(0.25, 0.25, canvas.width - 0.5, canvas.height - 0.5), 0.35)
    canvas.rect(inner, 0.7, class_="frame")
    draw_zones(canvas, inner)
    draw_centring_marks(canvas)
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
    vehicle: VehicleData,
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
    scaled = say("scale {scale}", scale=scale) if scale else ""
    words = " · ".join(word for word in (state, scaled, strip_end(vehicle.revision)) if word)
    words = fitted(words, SMALL_MM, width_mm / 2)
    box = canvas.text(box.x - 1.2, base, words, anchor="end", class_="strip")
    room = box.x - 4.5
    shown = fitted(name, SMALL_MM, room * 0.6, True)
    box = canvas.text(1.5, base, shown, bold=True, class_="strip")
    canvas.text(box.right + 2.5, base, fitted(title, SMALL_MM, room - box.right), class_="strip")
    canvas.block(Box(0, height_mm, width_mm, STRIP_MM))
    return canvas


def part_title(title: str, part: int, parts: int) -> str:
    """The title of a figure, or of one of the parts into which it is cut."""
    if parts == 1:
        return title
    return say("{title}, part {part} of {parts}", title=title, part=part, parts=parts)


def strip_end(revision: str) -> str:
    """What stands at the end of a strip before its page; a book puts another revision in."""
    return say("revision {revision} · page", revision=revision)


def _title_block(canvas: Canvas, block: Box, title: Title) -> None:
    """Two rows of named fields, the name over each; they are those of ISO 7200 (from memory).

    Legal owner (the vehicle), title, supplementary title, identification number and revision
    index; creator, approval person (left to sign), date of issue, sheet and page.
    """
    canvas.rect(block, 0.7, fill="#ffffff", class_="title-block")
    canvas.block(block)
    rows = (
        (
            (mark("Vehicle"), title.vehicle, 34),
            (mark("Title"), title.title, 60),
            (mark("Part of"), title.system, 24),
            (mark("Drawing number"), title.name, 46),
            (mark("Revision"), title.revision, 16),
        ),
        (
            (mark("State drawn"), title.state or "–", 46),
            (mark("Scale"), title.scale or say("not to scale"), 20),
            (mark("Made by"), "buildbook", 24),
            (mark("Checked by"), "", 30),
            (mark("Date"), title.date, 22),
            (mark("Sheet"), say("{n} of {sheets}", n=title.sheet, sheets=title.sheets), 18),
            (mark("Page"), "", 20),
        ),
    )
    height = block.h / len(rows)
    for row, fields in enumerate(rows):
        x, y = block.x, block.y + row * height
        for name, value, width in fields:
            canvas.rect(Box(x, y, width, height), 0.25)
            canvas.text(x + 1, y + 2.9, fitted(say(name), SMALL_MM, width - 2), colour=GREY)
            foot = y + height - 1.2
            if name == "Page":
                canvas.reference(x + 1, foot, title.name, size=NORMAL_MM, bold=True)
            elif value:
                fits = text_width_mm(value, NORMAL_MM, bold=True) <= width - 2
                size = NORMAL_MM if fits else SMALL_MM
                shown = fitted(value, size, width - 2, bold=True)
                canvas.text(x + 1, foot, shown, size, bold=True, class_=PUT_IN.get(name, ""))
            x += width
