"""Full-size layouts as a PDF: a page map, then the sheets to print and join, true to scale."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    PdfObject,
)

from buildbook.book.book_error import BookError
from buildbook.book.chapter import Chapter
from buildbook.book.drawing_form import PT
from buildbook.book.join import alone
from buildbook.book.make import Progress
from buildbook.book.page_numbers import PageMap
from buildbook.book.render import Job, render
from buildbook.book.resources import WEIGHTS, font_files
from buildbook.book.templates import css_string, environment
from buildbook.drawing.harness.full_size import full_size
from buildbook.drawing.harness.tiles import (
    MARGIN_MM,
    OVERLAP_MM,
    Tile,
    Tiling,
    map_of_sheets,
    tile_marks,
    tiled,
)
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.papers import PAGES
from buildbook.figures import Units
from buildbook.files.writing import write_file
from buildbook.result import Result
from buildbook.sizing.stage import in_its_language
from buildbook.words.say import say


@dataclass(frozen=True)
class Sheets:
    """One harness over its sheets, ready to be set."""

    harness: str
    title: str
    tiling: Tiling
    map: Drawing
    marks: tuple[Drawing, ...]


@in_its_language
def make_full_size(
    result: Result, harnesses: Sequence[str], paper: str, out: Path, progress: Progress
) -> tuple[Drawing, ...]:
    """Write the full-size sheets of some harnesses to `out`, whole or not at all.

    The drawings come back, with what had no room on them. `paper` is a key of PAPERS. Raises
    BookError where pages cannot be set, OSError where `out` cannot be written.
    """
    sets = []
    for done, harness in enumerate(harnesses):
        progress(f"Laying out {harness}", done, len(harnesses) + 1)
        sets.append(sheets_of(result, harness, paper))
    progress("Setting the sheets", len(harnesses), len(harnesses) + 1)
    write_file(out, full_size_pdf(result, sets))
    return tuple(one.tiling.full.drawing for one in sets)


@in_its_language
def sheets_of(result: Result, harness: str, paper: str) -> Sheets:
    """A harness laid out and cut into sheets."""
    vehicle, units = result.vehicle.description.vehicle, result.vehicle.measures
    title = result.vehicle.description.rope[harness].title or say("Harness {name}", name=harness)
    tiling = tiled(full_size(result, harness), paper)
    about = say(
        "{vehicle}: {harness}, revision {revision}, {date}",
        vehicle=vehicle.name,
        harness=title,
        revision=vehicle.revision,
        date=vehicle.date,
    )
    marks = tuple(
        replace(tile_marks(tiling, tile, about, units), name=f"{harness}-{tile.name}")
        for tile in tiling.tiles
    )
    return Sheets(
        harness, title, tiling, replace(map_of_sheets(tiling), name=f"map-{harness}"), marks
    )


@in_its_language
def full_size_pdf(result: Result, sets: Sequence[Sheets]) -> bytes:
    """The PDF: maps and marks are set as pages, each drawing once, and placed on its sheets."""
    pages = alone(render(Job("full-size", _html(result, sets), _files(sets))))
    writer = PdfWriter()
    writer.append(PdfReader(io.BytesIO(pages)), import_outline=False)
    number = 0
    for one in sets:
        parent = writer.add_outline_item(title=one.title, page_number=number)
        number += 1
        form = _form(writer, one)
        for tile in one.tiling.tiles:
            _place(writer, writer.pages[number], form, one.tiling, tile)
            writer.add_outline_item(
                title=say("Sheet {name}", name=tile.name), page_number=number, parent=parent
            )
            number += 1
    return _written(writer, result, pages)


def _html(result: Result, sets: Sequence[Sheets]) -> str:
    """Map page and sheet pages of every harness."""
    vehicle = result.vehicle.description.vehicle
    harnesses = [_described(n, one, vehicle.measures) for n, one in enumerate(sets, start=1)]
    faces = [(path.as_uri(), *WEIGHTS[name]) for name, path in font_files().items()]
    return (
        environment()
        .get_template("full_size.html")
        .render(
            chapter=Chapter("full-size", say("Full-size layouts"), "full_size.html"),
            place=0,
            vehicle=vehicle,
            faces=faces,
            harnesses=harnesses,
            quoted=css_string,
            pages=PageMap(),
            units=vehicle.measures,
            page_mm=PAGES[vehicle.paper],
        )
    )


def _described(number: int, one: Sheets, units: Units) -> dict[str, object]:
    """What the pages say of one harness."""
    formboard = one.tiling.full.formboard
    return {
        "number": number,
        "title": one.title,
        "paper": one.tiling.paper,
        "map": one.map,
        "page_mm": one.tiling.page_mm,
        "tiles": [d.name for d in one.marks],
        "overlap": OVERLAP_MM,
        "datum": formboard.datum,
        "board": units.sides(formboard.board.w, formboard.board.h),
        "larger": formboard.needs_more,
    }


def _files(sets: Sequence[Sheets]) -> dict[str, str]:
    return {d.name: d.svg for one in sets for d in (one.map, *one.marks)}


def _form(writer: PdfWriter, one: Sheets) -> IndirectObject:
    """The whole drawing as one object that every sheet shows a part of."""
    drawing = one.tiling.full.drawing
    html = (
        f"<style>{_font_rules()}@page {{ size: {drawing.width_mm}mm {drawing.height_mm}mm; "
        "margin: 0 } body { margin: 0 } img { display: block }</style>"
        f'<img src="drawing:board" style="width: {drawing.width_mm}mm; '
        f'height: {drawing.height_mm}mm">'
    )
    page = PdfReader(io.BytesIO(alone(render(Job("board", html, {"board": drawing.svg}))))).pages[0]
    form = DecodedStreamObject()
    form.set_data(_content(page))
    form.update(
        {
            NameObject("/Type"): NameObject("/XObject"),
            NameObject("/Subtype"): NameObject("/Form"),
            NameObject("/BBox"): ArrayObject([FloatObject(float(v)) for v in page.mediabox]),
            NameObject("/Resources"): _resources(page).clone(writer),
        }
    )
    return writer._add_object(form.flate_encode())


def _content(page: PageObject) -> bytes:
    """What is drawn on a page; nothing on an empty one."""
    stream = page.get_contents()
    return b"" if stream is None else stream.get_data()


def _resources(page: PageObject) -> DictionaryObject:
    return _dictionary(page["/Resources"])


def _dictionary(found: PdfObject) -> DictionaryObject:
    """A dictionary of the file, also where what is found only points at it."""
    reached = found.get_object()
    if not isinstance(reached, DictionaryObject):
        raise BookError(f"a dictionary was expected in the PDF, not {type(reached).__name__}")
    return reached


def _font_rules() -> str:
    return "".join(
        f"@font-face {{ font-family: Roboto; font-weight: {WEIGHTS[name][0]}; "
        f"font-style: {WEIGHTS[name][1]}; src: url({path.as_uri()}) }}"
        for name, path in font_files().items()
    )


def _place(
    writer: PdfWriter, page: PageObject, form: IndirectObject, tiling: Tiling, tile: Tile
) -> None:
    """Put the sheet's part of the drawing under its marks, moved and never scaled."""
    height = float(page.mediabox.height)
    window = tile.window
    left, foot = MARGIN_MM * PT, height - (MARGIN_MM + window.h) * PT
    board_mm = tiling.full.drawing.height_mm
    dx = (MARGIN_MM - window.x) * PT
    dy = height - (MARGIN_MM - window.y) * PT - board_mm * PT
    under = (
        f"q {left:.4f} {foot:.4f} {window.w * PT:.4f} {window.h * PT:.4f} re W n "
        f"1 0 0 1 {dx:.4f} {dy:.4f} cm /Board Do Q\n"
    )
    stream = DecodedStreamObject()
    stream.set_data(under.encode() + _content(page))
    page[NameObject("/Contents")] = writer._add_object(stream.flate_encode())
    resources = _resources(page)
    own = DictionaryObject(_dictionary(resources.get("/XObject", DictionaryObject())))
    own[NameObject("/Board")] = form
    page[NameObject("/Resources")] = DictionaryObject({**resources, NameObject("/XObject"): own})


def _written(writer: PdfWriter, result: Result, source: bytes) -> bytes:
    """The bytes of the file, the same for the same vehicle."""
    vehicle = result.vehicle.description.vehicle
    stamp = f"D:{vehicle.date:%Y%m%d}000000Z"
    writer.metadata = {
        "/Title": say(
            "{vehicle}: full-size layouts, revision {revision}",
            vehicle=vehicle.name,
            revision=vehicle.revision,
        ),
        "/Creator": "buildbook",
        "/Producer": "buildbook",
        "/CreationDate": stamp,
        "/ModDate": stamp,
    }
    writer.page_mode = "/UseOutlines"
    digest = hashlib.sha256(source).digest()[:16]
    writer._ID = ArrayObject([ByteStringObject(digest), ByteStringObject(digest)])
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
