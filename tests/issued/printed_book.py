"""A book or its pages to swap, read back from the PDF by page label."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass

import pypdfium2
import pypdfium2.raw as raw
from pypdf import PdfReader

PAINTS = re.compile(rb"/(\w+) Do")
MM = 72 / 25.4


@dataclass(frozen=True)
class Printed:
    """One page: what its streams hold to the byte, and what a reader sees."""

    content: bytes
    forms: tuple[tuple[str, bytes], ...]
    lines: tuple[str, ...]

    @property
    def foot(self) -> str:
        """'B · 2026-05-01', as it stands at the foot."""
        found = [re.search(r"Revision (.+?) Battery isolated", line) for line in self.lines]
        (said,) = {match[1].strip() for match in found if match}
        return said


def printed(pdf: bytes) -> dict[str, Printed]:
    """Label -> page, in the order of the file."""
    reader, document = PdfReader(io.BytesIO(pdf)), pypdfium2.PdfDocument(pdf)
    assert len(set(reader.page_labels)) == len(reader.pages)
    pages = {}
    for number, (label, page) in enumerate(zip(reader.page_labels, reader.pages, strict=True)):
        content = page.get_contents().get_data()
        named = page["/Resources"].get("/XObject", {})
        used = sorted({name.decode() for name in PAINTS.findall(content)})
        forms = tuple((name, named[f"/{name}"].get_object().get_data()) for name in used)
        text = document[number].get_textpage().get_text_range()
        lines = tuple(" ".join(line.split()) for line in text.splitlines())
        pages[label] = Printed(content, forms, lines)
    return pages


def bars(pdf: bytes, width_mm: float) -> dict[str, list[tuple[float, float, float]]]:
    """Label -> left edge, top and foot, in points from the page's lower left, of upright bars."""
    labels, document = PdfReader(io.BytesIO(pdf)).page_labels, pypdfium2.PdfDocument(pdf)
    found = {}
    for label, page in zip(labels, document, strict=True):
        shapes = page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=1)
        there = []
        for shape in shapes:
            left, foot, right, top = shape.get_bounds()
            if abs(right - left - width_mm * MM) < 0.2 and top - foot > 3:
                there.append((left, top, foot))
        found[label] = there
    return found


def lines_beside(pdf: bytes, label: str, top: float, foot: float) -> str:
    """Text between two heights of a page, in one line."""
    number = PdfReader(io.BytesIO(pdf)).page_labels.index(label)
    page = pypdfium2.PdfDocument(pdf)[number]
    text = page.get_textpage().get_text_bounded(0, foot - 0.5, page.get_width(), top + 0.5)
    return " ".join(text.split())
