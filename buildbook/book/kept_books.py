"""Whole editions, kept by the files of the vehicle's folder: nothing changed, nothing made anew."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from buildbook.book.setting import setting
from buildbook.files import kept

READ = {".yaml", ".yml", ".csv", ".md"}
"""Endings of what a description may consist of."""
LIBRARIES = ("numpy", "scipy", "networkx", "pydantic", "pint", "markdown-it-py", "svgwrite")
"""What the sums and the words follow from, beside what sets them."""


@dataclass(frozen=True)
class Made:
    """A file that was made, and what was said of it."""

    file_name: str
    content: bytes
    said: tuple[str, ...]
    """Lines on what its drawings have no room for."""
    errors: int
    """Findings at error level."""


def made_key(folder: Path, words: Iterable[str]) -> str:
    """The name of what is made of a vehicle's folder as it is now, by these words of a command."""
    files = sorted(path for path in folder.rglob("*") if path.suffix in READ and path.is_file())
    parts = [(path.relative_to(folder).as_posix(), path.read_bytes()) for path in files]
    versions = [(name, version(name)) for name in LIBRARIES]
    return kept.key_of((sys.version, setting(), versions, tuple(words), parts))


def find_made(key: str) -> Made | None:
    """What was made before under this name; None where nothing is kept."""
    whole = kept.find(key)
    if whole is None:
        return None
    try:
        about, content = kept.label_and_content(whole)
        return Made(about["name"], content, tuple(about["said"]), int(about["errors"]))
    except (ValueError, KeyError, TypeError):
        return None


def keep_made(key: str, made: Made) -> None:
    """Keep what was made, and no more in all than may be kept."""
    about = {"name": made.file_name, "said": made.said, "errors": made.errors}
    kept.keep(key, kept.labelled(about, made.content))
    kept.trim()
