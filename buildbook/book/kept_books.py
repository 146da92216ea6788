"""Whole editions, kept by the files of the vehicle's folder: nothing changed, nothing made anew."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from buildbook.book.setting import setting
from buildbook.description.pictures import MOST_BYTES
from buildbook.files import kept

MADE = {".pdf", ".html"}
"""Endings of what is made of a description: it is never read for one."""


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
    parts = [(path.relative_to(folder).as_posix(), path.read_bytes()) for path in files_of(folder)]
    return kept.key_of((setting(), tuple(words), parts))


def files_of(folder: Path) -> list[Path]:
    """What a vehicle's folder holds that a book may follow from: YAML, tables, notes, pictures.

    No larger file is taken for a description than a picture may be. Hidden folders, such as a
    history of versions, are no part of it.
    """
    return sorted(
        path
        for path in folder.rglob("*")
        if not any(part.startswith(".") for part in path.relative_to(folder).parts[:-1])
        if path.suffix.lower() not in MADE
        if path.is_file() and _size_of(path) <= MOST_BYTES
    )


def _size_of(path: Path) -> float:
    """Its bytes; more than any where an editor has just taken it away."""
    try:
        return path.stat().st_size
    except FileNotFoundError:
        return math.inf


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
