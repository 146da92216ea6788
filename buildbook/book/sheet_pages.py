"""Which framed sheets share a page that lies across: low ones, one below the other."""

from __future__ import annotations

from collections.abc import Iterable
from math import fsum

from buildbook.drawing.shared.model import SHEET_MM, Drawing

BELOW_MM = 4.0
"""Between two sheets of a page, as `.below` of the style sheet has it."""


def on_pages(sheets: Iterable[Drawing]) -> list[list[Drawing]]:
    """The sheets in order, those together whose heights go on one page."""
    pages: list[list[Drawing]] = []
    for sheet in sheets:
        last = pages[-1] if pages else []
        used = fsum(one.height_mm + BELOW_MM for one in last)
        plain = not any(one.size_step for one in (*last, sheet))
        if last and plain and used + sheet.height_mm <= SHEET_MM[1]:
            last.append(sheet)
        else:
            pages.append([sheet])
    return pages
