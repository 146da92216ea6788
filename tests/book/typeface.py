"""The book's typeface for pages that tests write: without one, text of a page ends the process."""

from __future__ import annotations

from buildbook.book.resources import font_files

TYPEFACE = (
    "<style>@font-face{font-family:Roboto;src:url("
    f"{font_files()['Regular'].as_uri()})}} body{{font-family:Roboto}}</style>"
)
