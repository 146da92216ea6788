"""What makes pages of a text: templates, fonts and libraries, as one hash."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from functools import cache
from importlib.metadata import version
from pathlib import Path

from buildbook.book.resources import font_files, template_folder

LIBRARIES = ("weasyprint", "pydyf", "fonttools", "pillow", "tinycss2", "cssselect2", "jinja2")
"""What the look of a page follows from beside our own program."""


@cache
def setting() -> str:
    """Hash of the templates, fonts and libraries that make pages of text."""
    digest = hashlib.sha256(repr([(name, version(name)) for name in LIBRARIES]).encode())
    files: Iterable[Path] = [*sorted(template_folder().iterdir()), *font_files().values()]
    for path in files:
        if path.is_file():
            digest.update(path.name.encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()
