"""The words of a PDF's pages, with their places, joined to lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from ctypes import c_double
from pathlib import Path

import pypdfium2
import pypdfium2.raw as pdfium

from buildbook.audit.model import Line, Page, Word

LINE_PT = 2.2
"""Letters whose feet are no farther apart stand on one line."""
CELL_PT = 2.5
"""Between two words of one cell there is less, a space of 9 pt being 2.2; between two columns more:
cells have 1 mm beside them and more."""
LINE_END = ("\ufffe", "\x02")
"""What the reader gives for a hyphen at the end of a line."""


class Unreadable(Exception):
    """The file is no PDF that can be read."""


def pages_of(pdf: Path) -> Iterator[Page]:
    """Each page of a PDF with its lines."""
    try:
        document = pypdfium2.PdfDocument(pdf)
    except pypdfium2.PdfiumError as error:
        raise Unreadable(str(error)) from error
    for number, page in enumerate(document, start=1):
        yield Page(number, tuple(lines_of(_letters(page))))


def lines_of(letters: Iterable[Word]) -> Iterator[Line]:
    """Letters joined to the phrases of each line, the lines from the top."""
    row: list[Word] = []
    for letter in sorted(letters, key=lambda word: (word.y, word.x)):
        if row and letter.y - row[0].y > LINE_PT:
            yield phrases(row)
            row = []
        row.append(letter)
    if row:
        yield phrases(row)


def phrases(letters: Iterable[Word]) -> Line:
    """The letters of one line as phrases: what stands closer than two columns do."""
    found: list[Word] = []
    for letter in sorted(letters, key=lambda word: word.x):
        if found and letter.x - found[-1].right < CELL_PT:
            last = found[-1]
            found[-1] = Word(last.x, max(last.right, letter.right), last.y, last.text + letter.text)
        else:
            found.append(letter)
    return tuple(found)


def _letters(page: pypdfium2.PdfPage) -> Iterator[Word]:
    """Every letter that is seen, by the feet of its line."""
    text = page.get_textpage()
    height = page.get_height()
    box, x, y = pdfium.FS_RECTF(), c_double(), c_double()
    for index in range(text.count_chars()):
        letter = chr(pdfium.FPDFText_GetUnicode(text, index))
        if letter.isspace() or not (letter.isprintable() or letter in LINE_END):
            continue
        pdfium.FPDFText_GetLooseCharBox(text, index, box)
        pdfium.FPDFText_GetCharOrigin(text, index, x, y)
        shown = "-" if letter in LINE_END else letter
        yield Word(box.left, box.right, height - y.value, shown)
