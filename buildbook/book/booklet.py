"""A booklet: the pages of a PDF two on a sheet, in the order in which folded sheets lie."""

from __future__ import annotations

import io

from pypdf import PageObject, PdfReader, PdfWriter, Transformation

A_SHEET = 4
"""Pages on a folded sheet: two on each side."""


def saddle_order(pages: int) -> list[tuple[int | None, int | None]]:
    """Left and right page of each side, from 0, the outermost sheet's front first; None is blank.

    Printed on both sides, turned over the short edge, folded in the middle and stapled there.
    """
    whole = -(-pages // A_SHEET) * A_SHEET
    sides: list[tuple[int | None, int | None]] = []
    for sheet in range(whole // A_SHEET):
        first, last = 2 * sheet, whole - 1 - 2 * sheet
        sides += [(last, first), (first + 1, last - 1)]
    return [(_there(left, pages), _there(right, pages)) for left, right in sides]


def _there(page: int | None, pages: int) -> int | None:
    return page if page is not None and page < pages else None


def booklet(content: bytes) -> bytes:
    """The PDF of pages of one size as sheets of twice their width."""
    read = PdfReader(io.BytesIO(content))
    box = read.pages[0].mediabox
    width, height = float(box.width), float(box.height)
    written = PdfWriter()
    for side in saddle_order(len(read.pages)):
        sheet = PageObject.create_blank_page(width=2 * width, height=height)
        for place, number in enumerate(side):
            if number is not None:
                moved = Transformation().translate(place * width, 0)
                sheet.merge_transformed_page(read.pages[number], moved)
        written.add_page(sheet)
    written.compress_identical_objects()
    out = io.BytesIO()
    written.write(out)
    return out.getvalue()
